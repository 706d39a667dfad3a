import { captureClipped } from './captures/capture-clipped';
import { captureTooShort } from './captures/capture-too-short';
import { captureTooSlow } from './captures/capture-too-slow';
import { captureTruncated } from './captures/capture-truncated';
import { captureUneven } from './captures/capture-uneven';
import { captureUnscaled } from './captures/capture-unscaled';
import { groundLeadHazard } from './captures/ground-lead-hazard';
import { measurementStale } from './captures/measurement-stale';
import { bridgeAsStereo } from './channels/bridge-as-stereo';
import { bridgeGrounded } from './channels/bridge-grounded';
import { channelCrossed } from './channels/channel-crossed';
import { channelDead } from './channels/channel-dead';
import { channelsAntiphase } from './channels/channels-antiphase';
import { channelsDelayed } from './channels/channels-delayed';
import { channelsIdentical } from './channels/channels-identical';
import { channelsSwapped } from './channels/channels-swapped';
import { couplingCornerHigh } from './channels/coupling-corner-high';
import { couplingMissing } from './channels/coupling-missing';
import { outputDc } from './channels/output-dc';
import { outputOverloaded } from './channels/output-overloaded';
import type { Check } from './check';
import { controlHeld } from './chips/control-held';
import { markingMismatch } from './chips/marking-mismatch';
import { pinNumberingTurned } from './chips/pin-numbering-turned';
import { pinRoleContradicted } from './chips/pin-role-contradicted';
import { pinoutDoubtful } from './chips/pinout-doubtful';
import { pinoutUnproven } from './chips/pinout-unproven';
import { causeLikely } from './diagnosis/cause-likely';
import { acceptanceUnused } from './evidence/acceptance-unused';
import { evidenceWeak } from './evidence/evidence-weak';
import { crosstalkHigh } from './expect/crosstalk-high';
import { distortionHigh } from './expect/distortion-high';
import { expectationFailed } from './expect/expectation-failed';
import { expectationUntested } from './expect/expectation-untested';
import { noiseHigh } from './expect/noise-high';
import { groundLifted } from './ground/ground-lifted';
import { groundMiswired } from './ground/ground-miswired';
import { groundSplit } from './ground/ground-split';
import { returnShared } from './ground/return-shared';
import { sleeveNotGround } from './ground/sleeve-not-ground';
import { channelsUnequal } from './levels/channels-unequal';
import { humPresent } from './levels/hum-present';
import { levelUnexpected } from './levels/level-unexpected';
import { outputClipped } from './levels/output-clipped';
import { spurPresent } from './levels/spur-present';
import { capacitorReversed } from './parts/capacitor-reversed';
import { clockOffFrequency } from './parts/clock-off-frequency';
import { crystalLoad } from './parts/crystal-load';
import { diodeReversed } from './parts/diode-reversed';
import { nodeFloating } from './parts/node-floating';
import { ratingExceeded } from './parts/rating-exceeded';
import { decouplingMissing } from './supply/decoupling-missing';
import { supplyConflict } from './supply/supply-conflict';
import { supplyOutOfRange } from './supply/supply-out-of-range';
import { supplyRipple } from './supply/supply-ripple';
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
  pinNumberingTurned,
  pinoutDoubtful,
  markingMismatch,
  pinRoleContradicted,
  pinoutUnproven,
  pinJoinedTwice,
  groundLeadHazard,
  channelsAntiphase,
  channelsIdentical,
  channelsSwapped,
  channelDead,
  levelUnexpected,
  channelsUnequal,
  outputDc,
  channelsDelayed,
  groundLifted,
  supplyRipple,
  controlHeld,
  clockOffFrequency,
  nodeFloating,
  captureTruncated,
  captureUneven,
  captureTooSlow,
  captureTooShort,
  captureClipped,
  captureUnscaled,
  measurementStale,
  outputClipped,
  humPresent,
  spurPresent,
  crosstalkHigh,
  noiseHigh,
  distortionHigh,
  expectationFailed,
  expectationUntested,
  evidenceWeak,
  causeLikely,
  acceptanceUnused,
];
