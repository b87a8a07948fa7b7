/** Line drawings for hovers and reports: plain data in, SVG and its words out. The only door of this folder. */
export { type BoreMap, type BoreReading, drawBoreMap } from './bore-map.ts';
export {
  drawFastenerGroup,
  type GroupMember,
  type GroupPicture,
  type MemberProgress,
} from './fastener-group.ts';
export { type BarReading, drawLimitBar, type Ends, type LimitBar } from './limit-bar.ts';
export {
  type Drawing,
  type DrawingOptions,
  drawing,
  drawingStyles,
  element,
  label,
  markdownImage,
  paint,
  palettes,
  type Theme,
  textWidth,
} from './svg.ts';
