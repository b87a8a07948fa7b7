/** Every rule, in the order of the documentation. Adding a rule is its file, its page and one line here. */

import { ambiguousDate } from './ambiguous-date.ts';
import { calibrationExpired } from './calibration-expired.ts';
import { closedLate } from './closed-late.ts';
import { closedUninspected } from './closed-uninspected.ts';
import { concession } from './concession.ts';
import { conditionsDiffer } from './conditions-differ.ts';
import { configuration } from './configuration.ts';
import { decimalComma } from './decimal-comma.ts';
import { derivedDisagrees } from './derived-disagrees.ts';
import { dragOutOfRange } from './drag-out-of-range.ts';
import { duplicateName } from './duplicate-name.ts';
import { equivalentDisagrees } from './equivalent-disagrees.ts';
import { exceedsThread } from './exceeds-thread.ts';
import { facingMissing } from './facing-missing.ts';
import { fastenerReused } from './fastener-reused.ts';
import { foundWorn } from './found-worn.ts';
import { hoursDisagree } from './hours-disagree.ts';
import { importChanged } from './import-changed.ts';
import { importCycle } from './import-cycle.ts';
import { importMissing } from './import-missing.ts';
import { inspectionFailed } from './inspection-failed.ts';
import { leftFingerTight } from './left-finger-tight.ts';
import { leftIn } from './left-in.ts';
import { lifeAhead } from './life-ahead.ts';
import { lifeExpired } from './life-expired.ts';
import { limitsInconsistent } from './limits-inconsistent.ts';
import { lubricantDiffers } from './lubricant-differs.ts';
import { markBroken } from './mark-broken.ts';
import { misplaced } from './misplaced.ts';
import { missingInspection } from './missing-inspection.ts';
import { missingReading } from './missing-reading.ts';
import { missingUnit } from './missing-unit.ts';
import { needsInspector } from './needs-inspector.ts';
import { noAuthority } from './no-authority.ts';
import { notRefitted } from './not-refitted.ts';
import { oddReading } from './odd-reading.ts';
import { onceReused } from './once-reused.ts';
import { openItem } from './open-item.ts';
import { outOfLimits } from './out-of-limits.ts';
import { ownInspection } from './own-inspection.ts';
import { pastNew } from './past-new.ts';
import { readingsDisagree } from './readings-disagree.ts';
import { releaseIncomplete } from './release-incomplete.ts';
import { retorqueDue } from './retorque-due.ts';
import type { Rule } from './rule.ts';
import { prepareRules } from './run.ts';
import { runBeforeCure } from './run-before-cure.ts';
import { stackOrder } from './stack-order.ts';
import { stageSkipped } from './stage-skipped.ts';
import { stale } from './stale.ts';
import { syntax } from './syntax.ts';
import { temperatureMatters } from './temperature-matters.ts';
import { timeBackwards } from './time-backwards.ts';
import { tooCloseToCall } from './too-close-to-call.ts';
import { toolOutOfRange } from './tool-out-of-range.ts';
import { toolTooCoarse } from './tool-too-coarse.ts';
import { torqueBeforeCure } from './torque-before-cure.ts';
import { torqueOrder } from './torque-order.ts';
import { torqueOutOfSpec } from './torque-out-of-spec.ts';
import { torqueSkipped } from './torque-skipped.ts';
import { unitDiffers } from './unit-differs.ts';
import { unitMismatch } from './unit-mismatch.ts';
import { unitSlip } from './unit-slip.ts';
import { unknownName } from './unknown-name.ts';
import { unknownUnit } from './unknown-unit.ts';
import { unlocked } from './unlocked.ts';
import { unmarked } from './unmarked.ts';
import { wrenchSetting } from './wrench-setting.ts';

export type { Rule, RuleSeverity, Subjects } from './rule.ts';
export { type Run, stillDue } from './run.ts';
export { allowedSeverities, type SeverityOverrides, severities, worstOf } from './severities.ts';

export const rules = [
  // Reading the text
  syntax,
  unknownUnit,
  missingUnit,
  decimalComma,
  ambiguousDate,
  unknownName,
  duplicateName,
  importMissing,
  importCycle,
  importChanged,
  misplaced,
  configuration,
  // Units
  unitMismatch,
  equivalentDisagrees,
  unitSlip,
  unitDiffers,
  // Measurements
  outOfLimits,
  foundWorn,
  readingsDisagree,
  stale,
  closedUninspected,
  conditionsDiffer,
  limitsInconsistent,
  pastNew,
  tooCloseToCall,
  toolTooCoarse,
  toolOutOfRange,
  calibrationExpired,
  temperatureMatters,
  derivedDisagrees,
  oddReading,
  missingReading,
  // Torque
  torqueOutOfSpec,
  torqueSkipped,
  stageSkipped,
  torqueOrder,
  leftFingerTight,
  torqueBeforeCure,
  closedLate,
  runBeforeCure,
  unlocked,
  dragOutOfRange,
  lubricantDiffers,
  exceedsThread,
  wrenchSetting,
  retorqueDue,
  fastenerReused,
  // Parts, joints, time
  notRefitted,
  onceReused,
  facingMissing,
  stackOrder,
  leftIn,
  lifeExpired,
  lifeAhead,
  inspectionFailed,
  missingInspection,
  needsInspector,
  timeBackwards,
  hoursDisagree,
  // Evidence
  openItem,
  markBroken,
  unmarked,
  ownInspection,
  concession,
  noAuthority,
  releaseIncomplete,
] as unknown as readonly Rule[];

/** Checks a rebuild by every rule; `previous` is the run before the last edit of the same file. */
export const runRules = prepareRules(rules);
