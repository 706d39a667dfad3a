import type { Files } from './files';

/** Files of some places alone: a board from a stranger must not make the tool reach for what lies elsewhere, on a network perhaps. */
export function fenced(files: Files, inside: (uri: string) => boolean): Files {
  const refuse = () => Promise.reject(new Error('it lies outside this workspace, which is not trusted'));
  return {
    ranges: files.ranges,
    stat: (uri) => (inside(uri) ? files.stat(uri) : refuse()),
    find: async (folder, suffixes) => (inside(folder) ? files.find(folder, suffixes) : []),
    read: (uri, from, to) => (inside(uri) ? files.read(uri, from, to) : refuse()),
  };
}
