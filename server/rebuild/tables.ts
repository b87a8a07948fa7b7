/** Which headings each cell of a table stands under, and what is told of a table that lacks them. */
import {
  type NameNode,
  type PathNode,
  parsePath,
  type RowNode,
  type SyntaxFault,
} from '../../grammar/index.ts';
import { expandPath } from './items.ts';

/** The heading of a column or a row: where it stands, and the paths it stands for; no text adds nothing. */
export interface Heading {
  readonly span: NameNode;
  readonly paths: readonly string[];
}

/** A cell that holds a reading, or that could. */
export interface TableCell {
  readonly cell: NameNode;
  readonly row: Heading;
  readonly column: Heading;
}

/** The cells of a table below its headings. `isHeading` knows the words that may head a row or a column here. */
export function* cellsOf(
  rows: readonly RowNode[],
  isHeading: (text: string) => boolean,
  faults: SyntaxFault[],
): Iterable<TableCell> {
  const body = rows.filter((row) => row.cells.length > 0 && !isRule(row));
  const [top, second] = body;
  const corner = top?.cells[0];
  if (top === undefined || corner === undefined) return;
  const lacksCorner = second !== undefined && isWithoutCorner(top, second, isHeading);
  if (lacksCorner) faults.push(cornerMissing(top, body));
  const hasHeadings = lacksCorner || corner.text === '';
  const columns = !hasHeadings
    ? []
    : (lacksCorner ? top.cells : top.cells.slice(1)).map((cell) => ({
        span: cell,
        paths: pathsOf(cell, faults),
      }));
  let isToldOfColumns = false;
  for (const row of hasHeadings ? body.slice(1) : body) {
    const [head] = row.cells;
    if (head === undefined) continue;
    const hasHead = !lacksCorner || isHeaded(row, top);
    const own = { span: head, paths: hasHead ? pathsOf(head, faults) : [''] };
    const cells = hasHead ? row.cells.slice(1) : row.cells;
    for (const [i, cell] of cells.entries()) {
      const column = columns[i] ?? (hasHeadings || i > 0 ? undefined : { span: cell, paths: [''] });
      if (column !== undefined) yield { cell, row: own, column };
      else if (cell.text !== '' && (hasHeadings || !isToldOfColumns)) {
        isToldOfColumns = true;
        faults.push(withoutColumn(cell, hasHeadings));
      }
    }
  }
}

/** A row of dashes. */
function isRule({ cells }: RowNode): boolean {
  return cells.every((cell) => /^:?-+:?$/.test(cell.text));
}

/** Whether a row of a table that lacks its corner begins with a heading of its own. */
function isHeaded(row: RowNode, top: RowNode): boolean {
  return row.cells.length > top.cells.length;
}

/** Whether a table's first row is all headings though no empty cell says so, and the rows below it are none. */
function isWithoutCorner(top: RowNode, second: RowNode, isHeading: (text: string) => boolean): boolean {
  return (
    top.cells.every(({ text }) => isHeading(text)) &&
    (isHeaded(second, top) || !isHeading(second.cells[0]?.text ?? ''))
  );
}

function cornerMissing(top: RowNode, body: readonly RowNode[]): SyntaxFault {
  const written = top.cells.map(({ text }) => text).join(' | ');
  return {
    rule: 'syntax',
    start: top.start,
    end: top.end,
    message: `A row of headings begins with an empty cell: \`| | ${written} |\`.`,
    fixes: [
      {
        title: 'Begin it with an empty cell',
        edits: body
          .filter((row) => row === top || !isHeaded(row, top))
          .map(({ start }) => ({ start, end: start, text: '| ' })),
      },
    ],
  };
}

function withoutColumn({ start, end }: NameNode, hasHeadings: boolean): SyntaxFault {
  const message = hasHeadings
    ? 'No heading stands above this cell: give it one in the first row of the table, or take it out.'
    : 'A table of several columns begins with a row of headings, the first cell of it empty.';
  return { rule: 'syntax', start, end, message, fixes: [] };
}

/** What headings that parse without a fault stand for: a log's tables have the same few over and over. */
const headings = new Map<string, readonly string[]>();
const MOST_HEADINGS = 1000;

function pathsOf(cell: NameNode, faults: SyntaxFault[]): readonly string[] {
  const { text, start, end } = cell;
  if (text === '') return [''];
  const known = headings.get(text);
  if (known !== undefined) return known;
  if (/^[-−+]?\d*[.,]\d/.test(text) && !text.includes('..')) {
    const message = `\`${text}\` stands where a heading is expected; a row without one begins with an empty cell.`;
    faults.push({ rule: 'syntax', start, end, message, fixes: [] });
    return [];
  }
  const parsed: { path: PathNode | undefined; faults: readonly SyntaxFault[] } = parsePath(text, start);
  faults.push(...parsed.faults);
  if (parsed.path === undefined) return [];
  const paths = expandPath(parsed.path);
  if (parsed.faults.length === 0 && headings.size < MOST_HEADINGS) headings.set(text, paths);
  return paths;
}
