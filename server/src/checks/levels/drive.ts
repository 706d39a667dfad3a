import type { Stimulus } from '../../board/measured';
import type { Sources } from '../../circuit/assemble';
import type { BoardNetwork } from '../../circuit/from-board/build';
import { withGenerator } from '../../circuit/from-board/generator';
import { generatorVolts, programmes, sourcesFor } from '../../circuit/from-board/played';
import type { Recorded } from '../recordings';

/** A tone as the network is driven with it: by the board's own outputs, or by a generator. */
export interface Drive {
  readonly net: BoardNetwork;
  readonly hertz: number;
  /** Sources for the tone at so many times 0 dBFS or 1 V RMS; `unit` stands in for full scales that are not stated. */
  sources(times: number, unit?: number): readonly Sources[];
  /** The level played, as such a factor; undefined where the level is not stated in a unit that tells. */
  readonly factor: number | undefined;
  /** Every full scale that takes part is stated. */
  readonly full: boolean;
}

/** How a recorded tone drives the network; undefined where nobody says on which side, or how the generator is connected. */
export function driveOf(
  net: BoardNetwork,
  { capture: { stimulus }, level }: Recorded,
  hertz: number,
  side: Stimulus['side'],
): Drive | undefined {
  if (side === 'unlike') return undefined;
  if (stimulus && stimulus.into.length > 0) {
    // One generator at one place plays what it plays; which of two plays must be said.
    if (side === undefined && stimulus.into.length > 1) return undefined;
    // What its impedance costs is not known unless it is stated.
    const fed = stimulus.source === undefined ? undefined : withGenerator(net, stimulus);
    if (!fed) return undefined;
    return {
      net: fed.board,
      hertz,
      sources: (times) => programmes(side, times).map((programme) => fed.sources(programme)),
      factor: generatorVolts(stimulus),
      full: true,
    };
  }
  if (side === undefined) return undefined;
  return {
    net,
    hertz,
    sources: (times, unit) =>
      programmes(side, times).map((programme) => sourcesFor(net, programme, unit === undefined ? {} : { unit })),
    factor: level,
    full: net.outputs.every((output) => output.fullScale !== undefined),
  };
}
