import type { Check, Draft } from '../check';

/** Kinds of expectation that ask for volts at a point. */
const volts = ['level', 'noise', 'supply', 'dc'] as const;

export const captureUnscaled: Check = {
  name: 'capture-unscaled',
  reads: 'figures',
  page: {
    meaning: 'Volts are asked for at a point, and the recording there has no scale.',
    causes: 'A sound card of unknown sensitivity.',
    next: 'Feed it a tone whose volts a meter has read, and write `full-scale`: the volts, peak, at digital full scale.',
    source: 'AES17: digital full scale says nothing about volts.',
    blind:
      'Only where an expectation in volts names a point of the recording; ratios, phases and distortion need no scale.',
  },
  run(snapshot) {
    const { board } = snapshot;
    const wanted = new Set<string>();
    for (const expectation of board.parsed?.value?.expect?.value ?? [])
      for (const kind of volts) {
        const of = expectation.value?.[kind]?.value;
        if (!of) continue;
        const level = 'is' in of ? of.is?.value : 'below' in of ? of.below?.value : undefined;
        if (level?.unit === 'dBFS') continue;
        for (const word of of.at?.value ?? []) {
          const name = board.point(word.text)?.ref.name;
          if (name !== undefined) wanted.add(name);
        }
      }
    return board.captures.flatMap((capture): Draft[] => {
      const state = snapshot.captures.get(capture.name);
      if (state?.is !== 'ready') return [];
      const bare = capture.channels.filter(
        (channel) =>
          wanted.has(channel.points[0]!.ref.name) &&
          state.figures.channels.find((figures) => figures.name === channel.key)?.unit === 'FS',
      );
      if (bare.length === 0) return [];
      return [
        {
          span: capture.keySpan,
          message: `Volts are expected at ${bare.map((channel) => channel.points[0]!.text).join(' and ')}, but ${capture.name} has no full-scale.`,
          at: bare.map((channel) => channel.points[0]!.ref.name),
          evidence: [`capture ${capture.name}`],
        },
      ];
    });
  },
};
