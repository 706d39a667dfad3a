import type { Draw, Piece, World } from './world';

/** What is wrong with a board, in the words of the contract, and what it does to the network of the generator. */
export interface Fault {
  readonly cause: string;
  readonly at: readonly string[];
  readonly mode: string | null;
  /** How often it is drawn, beside the others. */
  readonly odds: number;
  /** Unknowns within it, drawn. */
  readonly form: (draw: Draw) => Broken;
}

export interface Broken {
  /** Part → open, short, or its new value; ESR in Ω with it. */
  readonly pieces?: Readonly<Record<string, 'open' | 'short' | { readonly value: number; readonly esr?: number }>>;
  readonly between?: { readonly nets: readonly [string, string]; readonly ohms: number };
  /** Ω of the joints of the contacts; Infinity is open. */
  readonly joints?: Readonly<Partial<Record<'JL' | 'JR' | 'GND', number>>>;
  /** [left, right] weights of the left and right output. */
  readonly weights?: readonly [readonly [number, number], readonly [number, number]];
  readonly unpowered?: boolean;
}

const half = 0.5;

/** Every fault of a world. How often each kind is met: the generator's own table, common practice, no source. */
export function faultsOf(world: World): Fault[] {
  const fixed = (form: Broken) => () => form;
  const one = (
    cause: string,
    at: readonly string[],
    odds: number,
    form: Fault['form'],
    mode: string | null = null,
  ): Fault => ({
    cause,
    at,
    mode,
    odds,
    form,
  });
  const weights = (a: number, b: number, c: number, d: number) =>
    fixed({
      weights: [
        [a, b],
        [c, d],
      ],
    });
  const pins = { OL: 'U1.3', OR: 'U1.4' };
  return [
    one('output-mode', ['U1'], 10, weights(half, half, -half, -half), 'differential'),
    one('output-mode', ['U1'], 6, weights(half, half, half, half), 'mono'),
    one('polarity-reversed', [pins.OL], 3, weights(-1, 0, 0, 1)),
    one('polarity-reversed', [pins.OR], 3, weights(1, 0, 0, -1)),
    one('sides-exchanged', [pins.OL, pins.OR], 4, weights(0, 1, 1, 0)),
    one('side-dead', [pins.OL], 4, weights(0, 0, 0, 1)),
    one('side-dead', [pins.OR], 4, weights(1, 0, 0, 0)),
    one('return-open', ['J1.sleeve'], 4, fixed({ joints: { GND: Infinity } })),
    one('common-return', ['J1.sleeve'], 3, (draw) => ({ joints: { GND: draw.log(0.1, 15) } })),
    one('open', ['J1.tip'], 1.5, fixed({ joints: { JL: Infinity } })),
    one('open', ['J1.ring'], 1.5, fixed({ joints: { JR: Infinity } })),
    one('short', [pins.OL, pins.OR], 0.6, fixed({ between: { nets: ['OL', 'OR'], ohms: 0.01 } })),
    one('short', ['U1.2', pins.OL], 0.6, fixed({ between: { nets: ['GND', 'OL'], ohms: 0.01 } })),
    one('leakage', ['J1.tip', 'J1.ring'], 1.5, (draw) => ({
      between: { nets: ['JL', 'JR'], ohms: draw.log(8, 300) * (2 * (world.outOhms + seriesOhms(world))) },
    })),
    one('mono-summed', ['J1.tip', 'J1.ring'], 2.5, (draw) => ({
      between: { nets: ['JL', 'JR'], ohms: draw.log(0.02, 2) * (world.outOhms + seriesOhms(world)) },
    })),
    one('supply-missing', ['VSYS'], 2, fixed({ unpowered: true })),
    ...world.pieces.flatMap((piece) => ofPiece(piece, one)),
  ];
}

/** Ω in the way of one side. */
const seriesOhms = ({ pieces }: World): number =>
  pieces
    .filter(({ kind, nets }) => kind === 'R' && !nets.includes('GND') && !nets.includes('VSYS'))
    .reduce((sum, { value }) => sum + value, 0) / 2;

function ofPiece(
  { ref, kind, value, nets }: Piece,
  one: (cause: string, at: readonly string[], odds: number, form: Fault['form']) => Fault,
): Fault[] {
  const found = [
    one('open', [ref], 1, () => ({ pieces: { [ref]: 'open' } })),
    // A short across the supply takes it down.
    one('short', [ref], kind === 'C' ? 0.5 : 0.05, () =>
      nets.includes('VSYS') && nets.includes('GND') ? { unpowered: true } : { pieces: { [ref]: 'short' } },
    ),
  ];
  if (kind === 'FB') return found;
  found.push(one('wrong-value', [ref], 0.5, (draw) => ({ pieces: { [ref]: { value: value * draw.of([0.1, 10]) } } })));
  if (kind === 'C')
    found.push(
      one('aged', [ref], value >= 1e-6 ? 1.5 : 0.2, (draw) => {
        const left = draw.log(0.02, 0.6);
        return { pieces: { [ref]: { value: value * left, esr: draw.log(0.3, 1) / left } } };
      }),
    );
  return found;
}

export const faultName = ({ cause, at, mode }: Pick<Fault, 'cause' | 'at' | 'mode'>): string =>
  [cause, ...[...at].sort(), ...(mode === null ? [] : [mode])].join(' ');
