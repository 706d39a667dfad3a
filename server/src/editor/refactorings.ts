import type { Span } from '../text/span';
import type { Action } from './actions';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { addDecoupling } from './refactor/decoupling';
import { extractPinout } from './refactor/extract-pinout';
import { moveJoin } from './refactor/move-join';
import { partForm } from './refactor/part-form';
import { pinTable } from './refactor/pin-table';
import { sortParts } from './refactor/sort-parts';

/** What may be written another way at a selection, with nothing found against how it is written. */
export const refactorings = (analysis: BoardAnalysis | PinoutAnalysis, selection: Span): Action[] =>
  analysis.kind === 'pinout'
    ? pinTable(analysis, selection)
    : [addDecoupling, moveJoin, partForm, extractPinout, sortParts].flatMap((refactoring) =>
        refactoring(analysis, selection),
      );
