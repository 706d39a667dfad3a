import { aboutFiles } from './about-files';

export const fileUnreadable = aboutFiles('file-unreadable', {
  meaning: 'A file is there but cannot be read as what it should be: no WAV, no CSV, damaged, or a folder.',
  causes: 'An instrument that writes another format under the same ending; a copy that broke off.',
  next: 'Export it again as WAV or CSV.',
  source: "The file formats' own descriptions.",
  blind: 'A file that is cut short but usable is read as far as it goes, and `capture-truncated` says so.',
});
