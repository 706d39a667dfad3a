import type { Files } from './files';

/**
 * Files of some folders alone: a board from a stranger must not make the tool reach for what lies elsewhere, on a network perhaps. A
 * link in a folder that leads out of all of them is no way out either.
 * @param folders the folders' URIs, each with a slash at its end; undefined where everything may be read
 */
export function fenced(files: Files, folders: () => readonly string[] | undefined): Files {
  /** Rejects, in words, for what lies outside. */
  const check = async (uri: string): Promise<void> => {
    const allowed = folders();
    if (!allowed) return;
    const refused = () => new Error('it lies outside this workspace, which is not trusted');
    const within = (place: string, tops: readonly string[]) => tops.some((top) => `${place}/`.startsWith(top));
    if (!within(uri, allowed)) throw refused();
    const real = await files.real?.(uri);
    if (real === undefined) return;
    // The folders may themselves be reached over a link: what counts is where both really lie.
    const tops = await Promise.all(allowed.map((folder) => files.real?.(folder)));
    if (
      !within(
        real,
        tops.flatMap((top) => (top === undefined ? [] : [top.endsWith('/') ? top : `${top}/`])),
      )
    )
      throw refused();
  };
  return {
    ranges: files.ranges,
    async stat(uri) {
      await check(uri);
      return files.stat(uri);
    },
    find: (folder, suffixes) =>
      check(folder).then(
        () => files.find(folder, suffixes),
        () => [],
      ),
    async read(uri, from, to) {
      await check(uri);
      return files.read(uri, from, to);
    },
  };
}
