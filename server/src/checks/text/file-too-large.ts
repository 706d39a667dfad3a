import { aboutFiles } from './about-files';

export const fileTooLarge = aboutFiles('file-too-large', {
  meaning: 'A file is larger than this is willing to read.',
  causes: 'A recording in place of a board; a log pasted into the file.',
  next: 'Cut it to the part that shows the fault.',
  source: 'Common practice, no source: boards and pinouts above 4 MB are not written by hand.',
  blind: 'Recordings have no limit where they can be read in ranges; in a browser they are read whole, up to 256 MB.',
});
