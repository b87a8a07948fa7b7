/** What a person reads: checked files in, text out. The only door of this folder. */
export { type Comparison, compareReports, type Difference } from './compare.ts';
export { comparisonBody, comparisonHtml, comparisonStyle } from './compare-html.ts';
export { comparisonMarkdown, comparisonText } from './compare-text.ts';
export { type DueItem, type DueKind, type DueList, dueList, dueText } from './due.ts';
export { dueBody, dueHtml, dueStyle } from './due-html.ts';
export {
  type ExportColumn,
  type ExportRow,
  exportColumns,
  exportFacts,
  exportRows,
  exportSchema,
  exportSql,
} from './export.ts';
export { recordEntry, recordEntryText } from './record-entry.ts';
export { reportColumns, reportCsv } from './report-csv.ts';
export { type LogReport, type ReportSource, reportFacts } from './report-facts.ts';
export { reportBody, reportHtml, reportStyle } from './report-html.ts';
export { reportMarkdown } from './report-markdown.ts';
export { type Trend, trendsOf } from './trend.ts';
export { trendStyle, trendsBody, trendsHtml } from './trend-html.ts';
export { trendsText } from './trend-text.ts';
export {
  type UnmarkedSignature,
  type Verification,
  type VerifiedMark,
  type VerifiedPin,
  verificationText,
  verify,
} from './verification.ts';
export { planWorksheet, type Worksheet, type WorksheetSource } from './worksheet.ts';
export { worksheetHtml } from './worksheet-html.ts';
export { type WorksheetOptions, worksheetText } from './worksheet-text.ts';
