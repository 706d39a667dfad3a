import { aboutRecording } from './capture-warnings';

export const captureTruncated = aboutRecording('capture-truncated', ['truncated', 'header'], {
  meaning: 'The file ends before its own header says it should: it is cut short. What is there is used.',
  causes: 'A copy that broke off; a recorder that was switched off while recording.',
  next: 'Copy it again, or record again; the figures hold for the part that is there.',
  source: 'The lengths in the file’s own header.',
  blind: 'A recording that was stopped too early but closed properly is whole.',
});
