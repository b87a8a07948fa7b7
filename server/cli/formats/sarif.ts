/** `--format sarif`: SARIF 2.1.0 (OASIS), for code scanning and for viewers. */
import type { Severity } from '../../rebuild/index.ts';
import { type Rule, type RuleSeverity, rules } from '../../rules/index.ts';
import type { LocatedFile, LocatedFinding, Place } from './located.ts';
import { type CheckReport, type Format, fingerprints } from './report.ts';

const levels: Readonly<Record<RuleSeverity, 'error' | 'warning' | 'note'>> = {
  error: 'error',
  warning: 'warning',
  information: 'note',
  hint: 'note',
  'by-state': 'warning',
  varies: 'warning',
};

const ROOT = 'SRCROOT';

export const format: Format = (report) => {
  const index = new Map(rules.map((rule, i) => [rule.id, i]));
  const document = {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: {
          driver: {
            name: 'Witnessmark',
            semanticVersion: report.version,
            rules: rules.map((rule) => describe(rule, report)),
          },
        },
        invocations: [
          {
            executionSuccessful: report.unreadable.length === 0,
            startTimeUtc: report.began.toISOString(),
            toolExecutionNotifications: report.unreadable.map(({ path, reason }) => ({
              level: 'error',
              message: { text: `${path}: ${reason}.` },
              locations: [{ physicalLocation: { artifactLocation: artifact(path) } }],
            })),
          },
        ],
        columnKind: 'utf16CodeUnits',
        artifacts: report.files.map(({ path }) => ({
          location: artifact(path),
          roles: ['analysisTarget'],
          encoding: 'UTF-8',
        })),
        results: report.files.flatMap((file) => resultsOf(file, index)),
      },
    ],
  };
  return `${JSON.stringify(document, null, 2)}\n`;
};

/** What viewers show of a rule: its title, the first paragraph of its page, and the page as help. */
function describe({ id, title, severity }: Rule, { page }: CheckReport) {
  const text = page(id);
  const paragraph = text?.split(/\n\s*\n/).find((part) => !/^(#|```|\s*$)/.test(part));
  return {
    id,
    shortDescription: { text: `${title.charAt(0).toUpperCase()}${title.slice(1)}.` },
    ...(paragraph === undefined ? {} : { fullDescription: { text: paragraph.replace(/\s+/g, ' ').trim() } }),
    ...(text === undefined ? {} : { help: { text, markdown: text } }),
    defaultConfiguration: { level: levels[severity] },
    properties: { severity },
  };
}

function resultsOf(file: LocatedFile, index: ReadonlyMap<string, number>) {
  const prints = fingerprints(file);
  return file.findings.map((finding) => ({
    ruleId: finding.rule,
    ruleIndex: index.get(finding.rule) ?? -1,
    level: levels[finding.severity satisfies Severity],
    message: { text: finding.message },
    locations: [
      { physicalLocation: physical(finding, finding.endLine === finding.line ? finding.source : undefined) },
    ],
    ...(finding.related.length === 0
      ? {}
      : {
          relatedLocations: finding.related.map((one, id) => ({
            id,
            physicalLocation: physical(one),
            message: { text: one.message },
          })),
        }),
    partialFingerprints: { 'ruleAndLine/v1': prints.get(finding) },
    ...(finding.fixes.length === 0 ? {} : { fixes: finding.fixes.map(fixOf) }),
    properties: {
      severity: finding.severity,
      ...(finding.lowered === undefined ? {} : { lowered: finding.lowered }),
    },
  }));
}

function fixOf(fix: LocatedFinding['fixes'][number]) {
  const paths = [...new Set(fix.edits.map((edit) => edit.path))];
  return {
    description: { text: fix.title },
    artifactChanges: paths.map((path) => ({
      artifactLocation: artifact(path),
      replacements: fix.edits
        .filter((edit) => edit.path === path)
        .map((edit) => ({ deletedRegion: region(edit), insertedContent: { text: edit.text } })),
    })),
  };
}

function physical(place: Place, line?: string) {
  return {
    artifactLocation: artifact(place.path),
    region: region(place),
    ...(line === undefined ? {} : { contextRegion: { startLine: place.line, snippet: { text: line } } }),
  };
}

function region({ line, column, endLine, endColumn }: Place) {
  return { startLine: line, startColumn: column, endLine, endColumn };
}

/** A path from the working directory as a relative address; an absolute one as `file:`. */
function artifact(path: string) {
  const encoded = path.split('/').map(encodeURIComponent).join('/');
  return path.startsWith('/') ? { uri: `file://${encoded}` } : { uri: encoded, uriBaseId: ROOT };
}
