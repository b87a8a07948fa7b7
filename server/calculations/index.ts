// The trade's arithmetic: numbers in, numbers out. Units are fixed and stated at each parameter.
export { type Bounds, type Interval, whereIn, withoutNoise } from './bounds.ts';
export {
  defaultGuard,
  type Judgement,
  judge,
  testUncertaintyRatio,
  type Verdict,
  wearUsed,
} from './conformity.ts';
export {
  addCalendar,
  addMinutes,
  formatInstant,
  type Instant,
  type InstantRefusal,
  instantOf,
  minutesBetween,
  parseInstant,
  parseTimeOfDay,
  wallMinutes,
} from './durations.ts';
export {
  type CorrectedReading,
  correctTo20,
  expansion,
  type Material,
  materialNamed,
  materialNames,
  referenceTemperature,
} from './expansion.ts';
export {
  type Fit,
  fitOf,
  type IsoLimits,
  type IsoRefusal,
  isoLimits,
  isToleranceClass,
} from './fits.ts';
export {
  type FormDeviation,
  type FormOptions,
  type FormRefusal,
  maximum,
  mean,
  minimum,
  outOfRound,
  type PlacedReading,
  range,
  taper,
} from './geometry.ts';

export {
  assemblyPreload,
  evenFriction,
  type Friction,
  judgeYield,
  type Lubricant,
  lubricantNamed,
  lubricantNames,
  preloadForTorque,
  preloadRange,
  preloadRatio,
  type TighteningGeometry,
  type TighteningStress,
  tighteningGeometry,
  tighteningStress,
  torqueForPreload,
  torqueForPreloadVdi,
  torqueFromNutFactor,
  turnOfNut,
  usualFriction,
  type YieldJudgement,
} from './preload.ts';
export { isRefusal, type Refusal } from './refusal.ts';
export {
  centreOutOrder,
  crossOrder,
  type Departure,
  departureFromCentreOut,
  departureFromCross,
  firstDeparture,
  type RowPlace,
  rowPlaces,
} from './sequence.ts';
export {
  type BreakingTorqueRefusal,
  breakingTorque,
  parseThread,
  type Sourced,
  type Strength,
  type StrengthRefusal,
  strengthNames,
  strengthOf,
  type TensileLoads,
  type Thread,
  type ThreadRefusal,
  tensileLoads,
} from './threads.ts';
export {
  type Crossing,
  type CrossingRefusal,
  fitLine,
  fitLineThroughOrigin,
  type LineFit,
  type Point,
  type Prediction,
  predict,
  studentQuantile,
  type TrendRefusal,
  whenReached,
} from './trend.ts';
export {
  type Adapter,
  type AdapterRefusal,
  standardWrenchAccuracy,
  torqueAtFastener,
  trustedScale,
  type WrenchScatter,
  withDrag,
  wrenchReading,
  wrenchScatter,
} from './wrench.ts';
