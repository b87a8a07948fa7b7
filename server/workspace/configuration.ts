/** Reads `witnessmark.json`: the settings that it gives, and what is wrong with it, each at its place. */
import { closest, distance } from 'fastest-levenshtein';
import {
  findNodeAtLocation,
  getNodeValue,
  type Node,
  type ParseError,
  parseTree,
  printParseErrorCode,
} from 'jsonc-parser';
import type { SourceFile, SyntaxFault, SyntaxFix } from '../../grammar/index.ts';
import type { UnitSystem } from '../quantities/index.ts';
import type { Severity } from '../rebuild/index.ts';
import { allowedSeverities, type Rule, rules, type SeverityOverrides } from '../rules/index.ts';
import { validate } from './configuration-check.ts';
import { directoryOf } from './paths.ts';

/** How a team wants its logs checked. */
export interface Settings {
  readonly severities?: SeverityOverrides;
  /** The system of units that the team reads in. */
  readonly units?: UnitSystem;
  /** Folders and files to leave out, as in a `.gitignore` beside the file. */
  readonly exclude?: readonly string[];
  /** How many standard uncertainties a reading must lie inside a limit to be sure of it. */
  readonly guard?: number;
  /** The `witnessmark.json` that says so. */
  readonly from?: string;
}

export interface Configuration {
  /** The text as one block that holds what is wrong with it, so that its findings have places as others have. */
  readonly file: SourceFile;
  /** What it says rightly. */
  readonly settings: Settings;
}

const NAME = 'witnessmark.json';

/** Whether a path is that of a configuration. */
export function isConfiguration(path: string): boolean {
  return path === NAME || path.endsWith(`/${NAME}`);
}

/** How far above the working directory a configuration of a relative path is looked for. */
const mostAbove = 16;

/**
 * Where the configuration of a file may stand, the nearest first: in its folder and in every folder above, up to the
 * one that `isTop` says is the top of the repository. Takes relative paths, absolute ones and URIs.
 */
export function configurationsAbove(
  path: string,
  isTop: (folder: string) => boolean = () => false,
): readonly string[] {
  const found: string[] = [];
  let folder: string | undefined = directoryOf(path);
  while (folder !== undefined && found.length < 256) {
    found.push(folder === '' || folder === '/' ? `${folder}${NAME}` : `${folder}/${NAME}`);
    if (isTop(folder)) break;
    folder = folderAbove(folder);
  }
  return found;
}

function folderAbove(folder: string): string | undefined {
  if (/^(\/|[a-z]:\/?|[a-z][a-z0-9+.-]+:\/\/[^/]*)$/i.test(folder)) return undefined;
  if (folder === '') return '..';
  if (/(^|\/)\.\.$/.test(folder)) return folder.length / 3 < mostAbove ? `${folder}/..` : undefined;
  return directoryOf(folder);
}

/** One thing wrong in the shape, as the compiled check says it. */
interface ShapeError {
  readonly instancePath: string;
  readonly keyword: string;
  readonly params: { readonly additionalProperty?: string; readonly allowedValues?: readonly string[] };
}

const check = validate as unknown as ((value: unknown) => boolean) & {
  errors?: readonly ShapeError[] | null;
};

type ReportFault = (at: Pick<Node, 'offset' | 'length'>, message: string, fix?: SyntaxFix) => void;

const settingNames = ['severities', 'units', 'exclude', 'guard'];

/** Reads a configuration; a text that is no JSON gives no settings, a wrong setting leaves the others as they are. */
export function readConfiguration(text: string): Configuration {
  const faults: SyntaxFault[] = [];
  const report: ReportFault = (at, message, fix) => {
    faults.push({
      rule: 'configuration',
      start: at.offset,
      end: at.offset + at.length,
      message,
      fixes: fix === undefined ? [] : [fix],
    });
  };
  const settings = settingsIn(text, report);
  const block = {
    start: 0,
    line: 0,
    text,
    lineBreaks: text.split(/\r\n|\r|\n/).length - 1,
    statement: undefined,
    comments: [],
    faults,
  };
  return { file: { text, blocks: [block] }, settings };
}

function settingsIn(text: string, report: ReportFault): Settings {
  const errors: ParseError[] = [];
  const tree = parseTree(text, errors, { disallowComments: true });
  const [first] = errors;
  if (first !== undefined || tree === undefined) {
    report(first ?? { offset: 0, length: 0 }, `This is not JSON: ${jsonWords(first)}.`);
    return {};
  }
  const wrong: string[] = [];
  const errorsOfShape = check(getNodeValue(tree)) ? [] : (check.errors ?? []);
  for (const error of errorsOfShape) {
    const path = error.instancePath.split('/').slice(1).map(unescaped);
    const [setting = ''] = path;
    const { additionalProperty } = error.params;
    if (additionalProperty !== undefined)
      reportUnknown('setting', additionalProperty, settingNames, tree, report);
    else {
      const node = findNodeAtLocation(
        tree,
        path.map((key, i) => (setting === 'exclude' && i > 0 ? Number(key) : key)),
      );
      // A single wrong severity leaves the others.
      wrong.push(path.join('/'));
      report(
        node ?? tree,
        wanted[setting]?.(path) ?? 'The configuration is an object of settings: { "severities": … }.',
      );
    }
  }
  const settingAt = (name: string): unknown => {
    const node = findNodeAtLocation(tree, [name]);
    return node === undefined || wrong.some((path) => path === name || path.startsWith(`${name}/`))
      ? undefined
      : getNodeValue(node);
  };
  const severities = new Map<string, Severity | 'off'>();
  const given = findNodeAtLocation(tree, ['severities']);
  for (const property of given?.type === 'object' ? (given.children ?? []) : []) {
    const [key, value] = property.children ?? [];
    if (given === undefined || key === undefined || value === undefined) continue;
    const id = String(key.value);
    const rule = rules.find((one) => one.id === id);
    if (rule === undefined)
      reportUnknown(
        'finding',
        id,
        rules.map((one) => one.id),
        given,
        report,
      );
    else if (!wrong.includes(`severities/${id}`)) {
      const severity = value.value as Severity | 'off';
      const fault = refusal(rule, severity);
      if (fault === undefined) severities.set(id, severity);
      else
        report(value, fault.message, {
          title: `Write "${fault.instead}"`,
          edits: [{ start: value.offset, end: value.offset + value.length, text: `"${fault.instead}"` }],
        });
    }
  }
  const settings = { units: settingAt('units'), exclude: settingAt('exclude'), guard: settingAt('guard') };
  return {
    ...(severities.size === 0 ? {} : { severities }),
    // The check has seen to their shapes.
    ...(Object.fromEntries(Object.entries(settings).filter(([, value]) => value !== undefined)) as Settings),
  };
}

/** What is wanted of each setting, for the one whose shape is wrong. */
const wanted: Readonly<Record<string, (path: readonly string[]) => string>> = {
  $schema: () => '$schema is the address of a schema, in quotes.',
  severities: (path) =>
    path.length === 1
      ? 'severities is an object of findings and severities: { "torque-order": "error" }.'
      : 'A severity is "error", "warning", "information", "hint" or "off".',
  units: () => 'units is "metric" or "imperial".',
  exclude: () => 'exclude is a list of folders and files in quotes: ["archive/"].',
  guard: () => 'guard is a number from 0 to 4; 1.65 stands for 95 %.',
};

/** Why a rule cannot have a severity, and the nearest that it can have. */
function refusal(rule: Rule, severity: Severity | 'off'): { message: string; instead: Severity } | undefined {
  const allowed = allowedSeverities(rule);
  if (allowed.includes(severity)) return undefined;
  if (rule.subject === 'fault')
    return {
      message: `${rule.id} stays an error: nothing is checked on what could not be read.`,
      instead: 'error',
    };
  return {
    message: `${rule.id} may be an error, so it cannot be ${severity === 'off' ? 'switched off' : `set to ${severity}`}; information is the mildest.`,
    instead: 'information',
  };
}

/** A name in an object that nothing is called, at its key, with the nearest that something is. */
function reportUnknown(
  what: string,
  name: string,
  names: readonly string[],
  object: Node,
  report: ReportFault,
): void {
  const key = object.children?.find((property) => property.children?.[0]?.value === name)?.children?.[0];
  if (key === undefined) return;
  const nearest = closest(name, names);
  const near = distance(name, nearest) <= Math.max(2, name.length / 3);
  const fix = {
    title: `Write "${nearest}"`,
    edits: [{ start: key.offset, end: key.offset + key.length, text: `"${nearest}"` }],
  };
  const known =
    what === 'setting' ? `; the settings are ${names.join(', ')}` : '; `witnessmark explain` lists them all';
  report(
    key,
    `There is no ${what} called ${name}${near ? `; did you mean ${nearest}?` : `${known}.`}`,
    near ? fix : undefined,
  );
}

function unescaped(segment: string): string {
  return segment.replaceAll('~1', '/').replaceAll('~0', '~');
}

/** What a text that is no JSON lacks, in words. */
function jsonWords(error: ParseError | undefined): string {
  switch (error === undefined ? 'empty' : printParseErrorCode(error.error)) {
    case 'empty':
      return 'the file is empty; write {} at least';
    case 'PropertyNameExpected':
      return 'a name in quotes is expected here; the last item has no comma after it';
    case 'ValueExpected':
      return 'a value is expected here; the last item has no comma after it';
    case 'ColonExpected':
      return 'a colon is expected here';
    case 'CommaExpected':
      return 'a comma is expected before this';
    case 'CloseBraceExpected':
      return 'a } is missing at the end';
    case 'CloseBracketExpected':
      return 'a ] is missing at the end';
    case 'EndOfFileExpected':
      return 'nothing may follow the last }';
    case 'InvalidCommentToken':
      return 'it has no comments';
    case 'UnexpectedEndOfString':
      return 'the closing quote is missing';
    default:
      return 'this is no value; words stand in double quotes';
  }
}
