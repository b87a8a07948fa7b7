/** One rebuild from the syntax trees of its log and of the files that it uses. The only door of this folder. */
export * from './allowances.ts';
export {
  bind,
  declarationBlocks,
  type Import,
  isCovered,
  isStep,
  type Misplaced,
  type OpenItem,
  type Rebuild,
  type State,
  sameEnds,
} from './bind.ts';
export {
  type CarriedConcession,
  type CarriedFastener,
  type CarriedOver,
  type CarriedPart,
  type CarriedTorque,
  concessionsIn,
  dealtWithIn,
  type EarlierTrouble,
  earlierTrouble,
  hoursAtEnd,
  stillWaiting,
  waitingTorque,
} from './carried.ts';
export {
  acceptedAt,
  type Characteristic,
  type Instance,
  isOpenFinding,
  type JudgedReading,
  staleReadings,
} from './characteristics.ts';
export type { Lacking, Prerequisite } from './closings.ts';
export {
  isSameQualifier,
  isUnderConditions,
  pairConditions,
  statedConditions,
  wantedConditions,
} from './conditions.ts';
export { type Curing, curingsOf, minutesApart } from './curing.ts';
export * from './declarations.ts';
export * from './entries.ts';
export { type Interval, kindOfResult, type MissingPlace, namesIn, type Worked } from './expressions.ts';
export {
  countTorqued,
  type FastenerGroup,
  isLocked,
  isUnfilled,
  type MemberState,
  meetsStage,
  notTorqued,
  type Pass,
  type Reuse,
  type SkippedStage,
  type Spent,
  stagesBeforeFinal,
  type Tightening,
} from './fasteners.ts';
export { fileName } from './file-name.ts';
export * from './finding.ts';
export { hoursAtStart, hoursRun, machineHours, runLength } from './hours.ts';
export type { InspectionHistory, InspectionRecord } from './inspections.ts';
export * from './items.ts';
export type { JointHistory } from './joints.ts';
export * from './judgement.ts';
export { daysBetween, isCalendarLife, type Life, livesOf, logDate, spanInWords } from './lives.ts';
export { findLostText, type LostText } from './lost-text.ts';
export {
  digestOf,
  fileDigest,
  isMarkOf,
  MARK_DIGITS,
  type MarkChain,
  type MarkedSpan,
  markText,
} from './marks.ts';
export { type PartState, partStates } from './part-states.ts';
export {
  concessionForPart,
  membersByEntry,
  type PartHistory,
  type PartMember,
  replacedFasteners,
} from './parts.ts';
export type { History } from './rests-on.ts';
export { buildScope, type Duplicate, type Scope } from './scope.ts';
export { at20, awayFrom20, correctionOf, materialsOf } from './temperature.ts';
export { departureFromOrder, type OrderDeparture, type OrderRefusal } from './tightening-order.ts';
export {
  dragOf,
  settingOf,
  type WrenchUnknown,
  type WrenchWork,
  wrenchAccuracy,
  wrenchMustRead,
  wrenchWork,
} from './torquing.ts';
export * from './uncertainty.ts';
export {
  applyMarkEdits,
  lastMarkedStart,
  type MarkEdit,
  type MarkPlan,
  type MarkRefusal,
  type MarkWishes,
  markEdits,
  type Photo,
  photosOf,
  pinnedPhotographs,
  type Unpinned,
} from './write-mark.ts';
