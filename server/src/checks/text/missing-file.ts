import { aboutFiles } from './about-files';

export const missingFile = aboutFiles('missing-file', {
  meaning: 'A file the board names is not there.',
  causes: 'Saved in another folder or under another name; not yet copied from the instrument.',
  next: "Mend the path: it counts from the board's file.",
  source: 'The files themselves.',
  blind: 'Letters of another case count as another name, on every machine.',
});
