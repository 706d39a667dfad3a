import { groundLeadHazard } from './captures/ground-lead-hazard';
import { bridgeAsStereo } from './channels/bridge-as-stereo';
import { bridgeGrounded } from './channels/bridge-grounded';
import { channelCrossed } from './channels/channel-crossed';
import { channelDead } from './channels/channel-dead';
import { channelsAntiphase } from './channels/channels-antiphase';
import { channelsIdentical } from './channels/channels-identical';
import { channelsSwapped } from './channels/channels-swapped';
import { couplingCornerHigh } from './channels/coupling-corner-high';
import { couplingMissing } from './channels/coupling-missing';
import { outputDc } from './channels/output-dc';
import { outputOverloaded } from './channels/output-overloaded';
import type { Check } from './check';
import { pinRoleContradicted } from './chips/pin-role-contradicted';
import { groundMiswired } from './ground/ground-miswired';
import { groundSplit } from './ground/ground-split';
import { returnShared } from './ground/return-shared';
import { sleeveNotGround } from './ground/sleeve-not-ground';
import { channelsUnequal } from './levels/channels-unequal';
import { levelUnexpected } from './levels/level-unexpected';
import { capacitorReversed } from './parts/capacitor-reversed';
import { crystalLoad } from './parts/crystal-load';
import { diodeReversed } from './parts/diode-reversed';
import { ratingExceeded } from './parts/rating-exceeded';
import { decouplingMissing } from './supply/decoupling-missing';
import { supplyConflict } from './supply/supply-conflict';
import { supplyOutOfRange } from './supply/supply-out-of-range';
import { supplyShort } from './supply/supply-short';
import { supplyUnfed } from './supply/supply-unfed';
import { badQuantity } from './text/bad-quantity';
import { duplicateName } from './text/duplicate-name';
import { fileTooLarge } from './text/file-too-large';
import { fileUnreadable } from './text/file-unreadable';
import { missingFile } from './text/missing-file';
import { missingKey } from './text/missing-key';
import { pinJoinedTwice } from './text/pin-joined-twice';
import { pinOutOfRange } from './text/pin-out-of-range';
import { syntax } from './text/syntax';
import { unknownKey } from './text/unknown-key';
import { unknownReference } from './text/unknown-reference';
import { wrongType } from './text/wrong-type';
import { wrongUnit } from './text/wrong-unit';

/**
 * Every check, in the order they run: where several fit one cause, the sharper comes first and the others look at what has been
 * told.
 */
export const checks: readonly Check[] = [
  syntax,
  unknownKey,
  missingKey,
  wrongType,
  badQuantity,
  wrongUnit,
  unknownReference,
  duplicateName,
  pinOutOfRange,
  missingFile,
  fileUnreadable,
  fileTooLarge,
  supplyShort,
  groundMiswired,
  supplyOutOfRange,
  supplyConflict,
  diodeReversed,
  supplyUnfed,
  decouplingMissing,
  groundSplit,
  channelCrossed,
  bridgeGrounded,
  bridgeAsStereo,
  sleeveNotGround,
  couplingMissing,
  capacitorReversed,
  ratingExceeded,
  couplingCornerHigh,
  outputOverloaded,
  returnShared,
  crystalLoad,
  pinRoleContradicted,
  pinJoinedTwice,
  groundLeadHazard,
  channelsAntiphase,
  channelsIdentical,
  channelsSwapped,
  channelDead,
  levelUnexpected,
  channelsUnequal,
  outputDc,
];
