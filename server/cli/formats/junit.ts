/**
 * `--format junit`: a suite for each file and a test for each finding. A test fails where the check does; findings
 * that do not fail it are told in the suite's output.
 */
import type { LocatedFile, LocatedFinding } from './located.ts';
import type { CheckReport, Format } from './report.ts';

export const format: Format = (report) => {
  const suites = [
    ...report.files.map((file, i) => suite(file, i, report)),
    ...report.unreadable.map(({ path, reason }, i) =>
      wrapped(report, {
        name: path,
        id: report.files.length + i,
        errors: 1,
        tests: [`<error type="unreadable" message="${xml(`${reason}.`)}">${xml(reason)}</error>`].map(
          (inner) => testCase(path, 'read', inner),
        ),
      }),
    ),
  ];
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites>\n${suites.join('')}</testsuites>\n`;
};

function suite(file: LocatedFile, id: number, report: CheckReport): string {
  const failing = file.findings.filter((finding) => report.failing.includes(finding.severity));
  const other = file.findings.filter((finding) => !report.failing.includes(finding.severity));
  const tests = failing.map((finding) =>
    testCase(
      file.path,
      `${finding.rule} at line ${finding.line}`,
      `<failure type="${finding.rule}" message="${xml(finding.message)}">${xml(told(finding))}</failure>`,
    ),
  );
  return wrapped(report, {
    name: file.path,
    id,
    failures: failing.length,
    tests: tests.length > 0 ? tests : [testCase(file.path, 'check', '')],
    output: other.map((finding) => `${told(finding)}\n`).join(''),
  });
}

interface Suite {
  readonly name: string;
  readonly id: number;
  readonly tests: readonly string[];
  readonly failures?: number;
  readonly errors?: number;
  readonly output?: string;
}

function wrapped(
  { began, version }: CheckReport,
  { name, id, tests, failures = 0, errors = 0, output = '' }: Suite,
): string {
  const attributes = {
    id: String(id),
    name,
    package: 'witnessmark',
    timestamp: began.toISOString().slice(0, 19),
    hostname: 'localhost',
    tests: String(tests.length),
    failures: String(failures),
    errors: String(errors),
    time: '0',
  };
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${xml(value)}"`);
  return `  <testsuite${written.join('')}>
    <properties><property name="witnessmark" value="${xml(version)}"/></properties>
${tests.join('')}    <system-out>${xml(output)}</system-out>
    <system-err/>
  </testsuite>
`;
}

function testCase(path: string, name: string, inner: string): string {
  return `    <testcase classname="${xml(path)}" name="${xml(name)}" time="0">${inner}</testcase>\n`;
}

function told({ path, line, column, severity, rule, message, source }: LocatedFinding): string {
  return `${path}:${line}:${column} ${severity}[${rule}] ${message}\n${line} | ${source}`;
}

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  '\n': '&#10;',
  '\t': '&#9;',
};

/** Text as XML 1.0 takes it; what it has no way to write becomes the replacement character. */
function xml(text: string): string {
  return text

    .replace(/[^\t\n\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '\ufffd')
    .replace(/[&<>"\n\t]/g, (one) => entities[one] ?? one);
}
