/** The two file kinds, as package.json registers them. */
export const languageIds: readonly string[] = ['buzzout-board', 'buzzout-pinout'];
