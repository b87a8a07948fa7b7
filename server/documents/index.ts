/** What a person reads: checked files in, text out. The only door of this folder. */
export { planWorksheet, type Worksheet, type WorksheetSource } from './worksheet.ts';
export { worksheetHtml } from './worksheet-html.ts';
export { type WorksheetOptions, worksheetText } from './worksheet-text.ts';
