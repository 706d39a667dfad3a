import type { Desk } from './server';

/** Hooks the editor's features to the connection. */
export function registerFeatures(_desk: Desk): void {}
