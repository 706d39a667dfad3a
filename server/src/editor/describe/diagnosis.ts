import type { Cause, Diagnosis } from '../../diagnosis/causes/types';
import { headline, verdictOf } from '../../diagnosis/causes/verdict';

/**
 * A diagnosis as a colleague would tell it, a line a thought: what it is, what speaks for it, what else it might be, what to do, what
 * to probe.
 *
 * @param cautions of the board; `shown`: they stand above already
 */
export function diagnosisLines(
  { causes, next, remedy, used, notes }: Diagnosis,
  cautions: readonly string[] = [],
  shown = false,
): string[] {
  const verdict = verdictOf(causes);
  const lead = causes[0];
  if (!lead || !verdict) return [...notes];
  const alone = verdict.alone || lead.cause === 'as-designed';
  return [
    ...(used.length === 0
      ? [
          'Nothing has been measured that the network could be asked about: nothing speaks for a fault, nor against one.',
          `By odds alone: ${few(causes, 3)}.`,
        ]
      : [headline(verdict), evidence(lead, alone), others(causes, lead, alone)]),
    ...(remedy
      ? [
          `What to do: ${[...remedy.cautions.filter((one) => !shown || !cautions.includes(one)), ...remedy.steps].join(' ')}`,
        ]
      : []),
    ...(!remedy && !shown && next[0] && cautions.length > 0 ? [`With care: ${cautions.join(' ')}`] : []),
    next[0] ? probing(next[0]) : 'Next: no single measurement here would tell more.',
    ...notes,
  ];
}

const percent = (share: number): string =>
  share > 0.995 ? 'More than 99 %' : share < 0.01 ? 'less than 1 %' : `${Math.round(share * 100)} %`;

function evidence({ explains, leaves }: Cause, alone: boolean): string {
  const it = alone ? 'It' : 'The first';
  if (explains.length === 0 && leaves.length === 0) return 'What was measured fits none of the causes well.';
  if (leaves.length === 0) return `${it} explains everything measured: ${explains.join(', ')}.`;
  return `${it} explains ${explains.length > 0 ? explains.join(', ') : 'nothing measured'}; it leaves ${leaves.join(', ')}.`;
}

const named = ({ cause, at, mode, also }: Cause): string =>
  [{ cause, at, mode }, ...also]
    .map((one) => [one.cause, ...one.at, ...(one.mode === null ? [] : [one.mode])].join(' '))
    .join(' and ');

const few = (causes: readonly Cause[], most: number): string =>
  `${causes
    .slice(0, most)
    .map((one) => `${named(one)} (${percent(one.probability)})`)
    .join(', ')}${causes.length > most ? ` and ${causes.length - most} more` : ''}`;

/** @param alone whether the lead has been told without those that nothing tells it from */
function others(causes: readonly Cause[], lead: Cause, alone: boolean): string {
  const same = causes.filter((one) => one !== lead && one.group === lead.group);
  const apart = causes.filter((one) => one.group !== lead.group);
  const second = apart[0];
  const rest = second
    ? `${second.probability < 0.01 ? 'nothing else is likely' : `else it might be ${few(apart.slice(0, 2), 2)}`}`
    : 'no other cause was found';
  return same.length === 0 || !alone
    ? `${rest[0]!.toUpperCase()}${rest.slice(1)}.`
    : `Nothing measured tells it from ${few(same, 3)}; ${rest}.`;
}

function probing({ probe, plays, instrument, gain, outcomes }: Diagnosis['next'][number]): string {
  const what =
    instrument === 'recorder'
      ? `record ${probe.join(' and ')} playing ${plays}`
      : instrument === 'volts'
        ? `measure DC at ${probe.join(' and ')}`
        : `with the power off, measure ohms between ${probe.join(' and ')}`;
  const means = outcomes.slice(0, 2).map(({ shows, means }) => `If it shows ${shows}: ${means}`);
  return `Next: ${what} (${gain.toFixed(1)} bits). ${means.join(' ')}`;
}
