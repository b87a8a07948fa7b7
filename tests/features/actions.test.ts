/** What can be added at the cursor (`‸`), and what the text is afterwards. */
import { describe, expect, test } from 'vitest';
import { actionsAt, type Edit, fixAll } from '../../server/features/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';
import { marked } from './marked.ts';

const limits = `limits "Tern 460"
limit bore[front rear] @ (top bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm
limit crank-runout 0..0.05 mm
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m order 2 3 1 4
`;
const head = `log "x"
use "a.limits"
person JM "Jory Marsh" inspector
step "w" 2026-05-02 by JM
`;

function ask(lines: string) {
  const found = marked({ 'a.limits': limits, 'a.rebuild': head + lines });
  const checked = found.workspace.check(found.path)!;
  return { checked, actions: actionsAt(checked, found.offset, found.offset) };
}

function apply(text: string, edits: readonly Edit[]): string {
  let out = text;
  for (const { start, end, text: put } of [...edits].sort((a, b) => b.start - a.start))
    out = out.slice(0, start) + put + out.slice(end);
  return out;
}

/** The log behind its head once the action is taken; what it adds must parse. */
function taken(lines: string, title: string): string {
  const { checked, actions } = ask(lines);
  const action = actions.find((one) => one.title === title);
  if (action === undefined) return `not among: ${actions.map((one) => one.title).join(', ')}`;
  const text = apply(checked.file.text, action.edits);
  const workspace = createWorkspace();
  workspace.set('a.limits', limits);
  workspace.set('a.rebuild', text);
  const wrong = workspace
    .check('a.rebuild')!
    .findings.filter(({ rule }) => /syntax|unknown|missing-unit/.test(rule));
  expect(wrong.map(({ message }) => message)).toEqual([]);
  return text.startsWith(head) ? text.slice(head.length) : text;
}

describe('what is left', () => {
  test('of a group, in its order', () => {
    expect(taken('  torque case-m8[2] ‸to 24 N·m # first\n', 'Add what is left of case-m8 as `?`')).toBe(
      '  torque case-m8[2] to 24 N·m # first\n  torque case-m8[3 1 4] to ? N·m\n',
    );
  });
  test('of a member: the table of its places, or the one place', () => {
    expect(
      taken(
        '  measure bore[rear] @ top/pin = 67.5‸10 mm\n',
        'Add what is still to be read of bore[rear] as `?`',
      ),
    ).toBe(
      [
        '  measure bore[rear] @ top/pin = 67.510 mm',
        '  measure bore[rear] in mm',
        '    |        | thrust | pin |',
        '    | top    | ?      |     |',
        '    | bottom | ?      | ?   |',
        '',
      ].join('\n'),
    );
  });
  test('of all that is covered, above what ends the step; nothing of it below a mark', () => {
    const log = (sign: string) =>
      `log "x"\nuse "a.limits"\ncovers rea‸r\nperson JM "Jory Marsh" inspector\nstep "w" 2026-05-02 by JM\n  note dry\n${sign}`;
    const table = limits.replace('limit bore', 'assembly rear\nlimit bore');
    const offered = (sign: string) => {
      const { workspace, path, offset } = marked({ 'a.limits': table, 'a.rebuild': log(sign) });
      const checked = workspace.check(path)!;
      return actionsAt(checked, offset, offset).map(({ edits }) => apply(checked.file.text, edits));
    };
    const [text = ''] = offered('sign JM "so far" 2026-05-02\n');
    expect(text.slice(text.indexOf('  note dry'))).toBe(
      [
        '  note dry',
        '  measure bore[front] in mm',
        '    |        | thrust | pin |',
        '    | top    | ?      | ?   |',
        '    | bottom | ?      | ?   |',
        '  measure bore[rear] in mm',
        '    |        | thrust | pin |',
        '    | top    | ?      | ?   |',
        '    | bottom | ?      | ?   |',
        '  measure crank-runout = ? mm',
        '  torque case-m8[2 3 1 4] to ? N·m',
        'sign JM "so far" 2026-05-02',
        '',
      ].join('\n'),
    );
    expect(offered('sign JM "so far" 2026-05-02 mark 0123456789abcdef\n')).toEqual([]);
  });
  test('with the conditions of a test, the angle and the drag that are to be recorded', () => {
    const table = `limits "Winch"
assembly rear
limit leak <= 0.03 bar when 0.3 bar, 5 min
limit tilt[1 2] 0..1 mm when 20 kN
limit oil[(front rear)/(a b)] @ (top bottom) 0..1 mm when 20 kN
fastener nut[1 2] M8 torque 22 ± 2 N·m angle 45 ± 5 ° drag 1.5..6 N·m
`;
    const log = 'log "x"\nuse "a.limits"\ncovers rea‸r\nstep "w" 2026-05-02\n  note dry\n';
    const { workspace, path, offset } = marked({ 'a.limits': table, 'a.rebuild': log });
    const checked = workspace.check(path)!;
    const [action] = actionsAt(checked, offset, offset);
    const text = apply(checked.file.text, action!.edits);
    expect(text).toContain('  measure leak = ? bar when ? bar, ? min\n');
    expect(text).toContain('  measure tilt[1] = ? mm when ? kN\n');
    expect(text).toMatch(/ measure oil\[front\/a\] in mm when \? kN\n +\| top +\| \? \|/);
    expect(text).toContain('  torque nut[1 2] to ? N·m angle ? ° drag ? N·m\n');
    workspace.set('a.rebuild', text);
    const told = workspace.check('a.rebuild')!.findings.map(({ rule }) => rule);
    expect([...new Set(told)]).toEqual(['torque-skipped', 'open-item']);
  });
  test('nothing that the log holds as `?` already', () => {
    const titles = (lines: string) => ask(lines).actions.map(({ title }) => title);
    expect(titles('  measure crank-runout = ? m‸m\n')).toEqual([]);
    expect(titles('  torque case-m8[2 3] to ? N‸·m\n  torque case-m8[1 4] to ? N·m\n')).toEqual([]);
    expect(taken('  torque case-m8[2 3] to ? N‸·m\n', 'Add what is left of case-m8 as `?`')).toContain(
      '  torque case-m8[1 4] to ? N·m\n',
    );
    expect(
      taken(
        '  measure bore[rear] @ top/pin = ? m‸m\n  measure bore[front] = 67.510 mm\n',
        'Add what is still to be read of bore[rear] as `?`',
      ),
    ).toContain('    | top    | ?      |     |\n');
  });
  test('nothing where nothing is left', () => {
    expect(ask('  torque case-m8[all] t‸o 24 N·m\n').actions.map(({ title }) => title)).not.toContain(
      'Add what is left of case-m8 as `?`',
    );
  });
});

test('a concession for what is past its limit, the reason left open', () => {
  expect(taken('  measure crank-runout = 0.‸09 mm\n', 'Record a concession for crank-runout')).toBe(
    '  measure crank-runout = 0.09 mm\n  accept crank-runout because ? by JM\n',
  );
  expect(ask('  measure crank-runout = 0.‸04 mm\n').actions.map(({ title }) => title)).not.toContain(
    'Record a concession for crank-runout',
  );
  const places = (accept: string) =>
    ask(`  measure bore[rear] @ top/pin = 67.6‸10 mm\n  accept bore[rear] @ ${accept} because "x" by JM\n`)
      .actions.map(({ title }) => title)
      .filter((title) => title.startsWith('Record a concession'));
  expect(places('top/thrust')).toEqual(['Record a concession for bore[rear]']);
  expect(places('top')).toEqual([]);
});

test('a tool or a person that nothing declares goes above the first step', () => {
  expect(taken('  measure crank-runout = 0.04 mm with D‸T1\n', 'Declare the tool DT1')).toContain(
    'person JM "Jory Marsh" inspector\ntool DT1 ?\nstep "w"',
  );
  expect(taken('  measure crank-runout = 0.04 mm by A‸Q\n', 'Declare the person AQ')).toContain(
    '\nperson AQ ? builder\nstep',
  );
});

test('the other system behind a value, never behind part of a spread', () => {
  expect(taken('  torque case-m8[all] to 2‸4 N·m\n', 'Write 17.7 ft·lbf behind it')).toBe(
    '  torque case-m8[all] to 24 N·m (17.7 ft·lbf)\n',
  );
  expect(
    ask('  measure crank-runout = 0.03‸ mm..0.04 mm\n').actions.filter(({ kind }) => kind === 'rewrite'),
  ).toEqual([]);
});

test('lines end as the file does', () => {
  const found = marked({
    'a.limits': limits,
    'a.rebuild': `${head}  torque case-m8[2] ‸to 24 N·m\n`.replaceAll('\n', '\r\n'),
  });
  const [action] = actionsAt(found.workspace.check(found.path)!, found.offset, found.offset);
  expect(action?.edits[0]?.text).toBe('\r\n  torque case-m8[3 1 4] to ? N·m');
});

test('nothing on a broken line, and nothing in what a mark covers', () => {
  expect(ask('  measure bore[rear] @ top/pin = 67,5‸11 mm\n').actions).toEqual([]);
  const signed = 'sign JM "so far" 2026-05-02 mark 0123456789abcdef\n';
  expect(ask(`  torque case-m8[2] to 2‸4 N·m\n${signed}`).actions).toEqual([]);
});

describe('all at once', () => {
  const all = (lines: string) => {
    const workspace = createWorkspace();
    workspace.set('a.limits', limits);
    workspace.set('a.rebuild', head + lines);
    const checked = workspace.check('a.rebuild')!;
    return apply(checked.file.text, fixAll(checked)).slice(head.length);
  };
  test('a decimal comma, where only one thing can be meant', () => {
    expect(all('  measure crank-runout = 0,04 mm\n')).toBe('  measure crank-runout = 0.04 mm\n');
  });
  test('nothing in what a mark covers', () => {
    const lines = '  measure crank-runout = 0,04 mm\nsign JM "so far" 2026-05-02 mark 0123456789abcdef\n';
    expect(all(lines)).toBe(lines);
  });
  test('nothing that would change what was recorded', () => {
    // Two readings of the comma; a likely other unit; a name that may be another.
    const lines =
      '  run 1,200 h\n  torque case-m8[all] to 24 N·m (212 ft·lbf)\n  measure crank-runnout = 0.04 mm\n  measure crank-runout = 0.4 mm\n';
    expect(all(lines)).toBe(lines);
  });
});
