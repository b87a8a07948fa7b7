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
export { isRefusal, type Refusal } from './refusal.ts';
