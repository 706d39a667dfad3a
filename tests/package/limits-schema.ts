import { checkNames } from '../../server/src/dialect/check-names';

const units: Partial<Record<string, string>> = {
  resistance: 'ohms',
  voltage: 'volts',
  frequency: 'hertz',
  percent: 'percent',
  ppm: 'ppm',
  'ratio-db': 'dB',
};

/** What package.json must say of the setting `buzzout.limits`: one number a check that has a threshold. */
export function limitsSchema(): Record<string, { type: 'number'; description: string }> {
  const rows = [...checkNames.values()].flatMap(({ name, limit }) => (limit ? [{ name, limit }] : []));
  return Object.fromEntries(
    rows.map(({ name, limit: { what, dimensions, value } }) => {
      const unit = units[dimensions[0]!];
      if (!unit) throw new Error(`say the unit of ${dimensions[0]} here`);
      return [name, { type: 'number', description: `${what}, in ${unit}; ${value} where nothing is said.` }];
    }),
  );
}
