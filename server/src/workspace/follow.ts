import type { Control } from '../signal/source';

/** Follows one piece of long work: hears how far it is, may stop it, and hears of its end. */
export interface Follow extends Control {
  over(): void;
}

/** What may take long enough to be followed. */
export type Work = 'measuring' | 'reasoning';

/** Called as work begins; `what` names the file it is about. */
export type Following = (what: string, work: Work) => Follow;

/** Follows nothing. */
export const unfollowed: Following = () => ({ cancelled: () => false, progress: () => {}, over: () => {} });
