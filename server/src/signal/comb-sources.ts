/** What makes a comb of lines at multiples of one frequency. */
export interface CombSource {
  readonly name: string;
  /** Hz. */
  readonly fundamental: number;
  /** How far it may lie from that, as a fraction, the recorder's own clock included. */
  readonly within: number;
  readonly mains?: true;
}

// Mains is held to 1 % (EN 50160, from memory). Frames and slots are counted from crystals: their standard's tolerance, and 200
// parts per million for the recorder.
const mains = 0.01;
const crystal = 300e-6;
const usb = 700e-6; // full speed: ±500 ppm

/** Periods of frames and slots from the standards named; which of them is heard is practice, not law. */
export const combSources: readonly CombSource[] = [
  { name: '50 Hz mains hum', fundamental: 50, within: mains, mains: true },
  { name: '60 Hz mains hum', fundamental: 60, within: mains, mains: true },
  { name: 'rectifier ripple of 50 Hz mains', fundamental: 100, within: mains, mains: true },
  { name: 'rectifier ripple of 60 Hz mains', fundamental: 120, within: mains, mains: true },
  { name: 'USB frames (1 ms)', fundamental: 1000, within: usb },
  { name: 'USB microframes (125 µs)', fundamental: 8000, within: usb },
  { name: 'Bluetooth slots (625 µs)', fundamental: 1600, within: crystal },
  { name: 'Bluetooth slot pairs (1.25 ms)', fundamental: 800, within: crystal },
  { name: 'Bluetooth 3-slot packets (2.5 ms)', fundamental: 400, within: crystal },
  { name: 'Bluetooth 5-slot packets (3.75 ms)', fundamental: 800 / 3, within: crystal },
  { name: 'Bluetooth voice interval (3.75 ms)', fundamental: 800 / 3, within: crystal },
  { name: 'Bluetooth voice interval (7.5 ms)', fundamental: 400 / 3, within: crystal },
  { name: 'Bluetooth LE interval (7.5 ms)', fundamental: 400 / 3, within: crystal },
  { name: 'Bluetooth LE interval (10 ms)', fundamental: 100, within: crystal },
  { name: 'DECT frames (10 ms)', fundamental: 100, within: crystal },
  { name: 'GSM frames (4.615 ms)', fundamental: 13000 / 60, within: crystal },
  { name: 'GSM idle frames (120 ms)', fundamental: 1000 / 120, within: crystal },
  { name: 'Wi-Fi beacons (102.4 ms)', fundamental: 1000 / 102.4, within: crystal },
];

/** Single frequencies that hint at a maker; a single line is never more than a hint. */
const hints: readonly (CombSource & { readonly hint: string })[] = [
  ...combSources
    .filter(({ fundamental }) => fundamental >= 20)
    .map((source) => ({ ...source, hint: `where ${source.name} would lie` })),
  { name: 'stereo pilot', fundamental: 19000, within: crystal, hint: 'where the stereo pilot of FM radio would lie' },
  { name: 'line scan', fundamental: 15625, within: crystal, hint: 'where the line scan of 625-line video would lie' },
  {
    name: 'line scan',
    fundamental: 15734.266,
    within: crystal,
    hint: 'where the line scan of 525-line video would lie',
  },
];

/** What a single line at a frequency may come from, or null. */
export function hintAt(frequency: number, sd: number): string | null {
  const near = hints.filter(
    ({ fundamental, within }) => Math.abs(frequency - fundamental) <= within * fundamental + 2 * sd,
  );
  return near.length ? [...new Set(near.map(({ hint }) => hint))].join('; ') : null;
}
