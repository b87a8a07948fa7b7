/** Hints behind the text, written `«…»` where they stand. */
import { describe, expect, test } from 'vitest';
import { type InlayWishes, inlayHintsIn } from '../../server/features/index.ts';
import { createWorkspace } from '../../server/workspace/index.ts';

const limits = `limits "Tern 460"
limit bore[rear] @ (top bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm
fastener case-m8[1..4] M8 class 8.8 torque 24 ± 2 N·m
fastener case-m6[1..2] M6 class 8.8 torque 10 ± 1 N·m (88 in·lbf)
`;

/** The lines of a step with their hints put in. */
function hinted(lines: string, wishes: InlayWishes, configuration = '{}'): string {
  const head = 'log "x"\nuse "a.limits"\nstep "w" 2026-05-02\n';
  const workspace = createWorkspace();
  workspace.set('witnessmark.json', configuration);
  workspace.set('a.limits', limits);
  workspace.set('a.rebuild', head + lines);
  return put(workspace.check('a.rebuild')!, wishes).slice(head.length);
}

function put(checked: Parameters<typeof inlayHintsIn>[0], wishes: InlayWishes): string {
  let { text } = checked.file;
  for (const { offset, text: hint } of [...inlayHintsIn(checked, 0, text.length, wishes)].reverse())
    text = `${text.slice(0, offset)}«${hint}»${text.slice(offset)}`;
  return text;
}

const units = { units: true, progress: false };
const progress = { units: false, progress: true };

describe('the other system of units', () => {
  test.each([
    // 1 in = 25.4 mm; 1 ft·lbf = 1.355818 N·m, 1 in·lbf = 0.112985 N·m (NIST SP 811, appendix B).
    ['measure bore[rear] @ top/pin = 67.510 mm', 'measure bore[rear] @ top/pin = 67.510 mm«2.65787 in»'],
    ['torque case-m8[1] to 24 N·m', 'torque case-m8[1] to 24 N·m«17.7 ft·lbf»'],
    ['torque case-m6[1] to 10 N·m', 'torque case-m6[1] to 10 N·m«89 in·lbf»'],
    ['torque case-m8[1] to 18 ft·lbf', 'torque case-m8[1] to 18 ft·lbf«24 N·m»'],
    ['torque case-m6[1] to 10 N·m (88 in·lbf)', 'torque case-m6[1] to 10 N·m (88 in·lbf)'],
    ['measure bore[rear] @ top/pin = ? mm', 'measure bore[rear] @ top/pin = ? mm'],
  ])('%s', (line, wanted) => {
    expect(hinted(line, units)).toBe(wanted);
  });

  test('a team that reads in one system is shown that one, and only where the other is written', () => {
    const lines = 'torque case-m8[1] to 24 N·m\ntorque case-m8[2] to 18 ft·lbf\n';
    expect(hinted(lines, units, '{ "units": "metric" }')).toBe(
      'torque case-m8[1] to 24 N·m\ntorque case-m8[2] to 18 ft·lbf«24 N·m»\n',
    );
    expect(hinted(lines, units, '{ "units": "imperial" }')).toBe(
      'torque case-m8[1] to 24 N·m«17.7 ft·lbf»\ntorque case-m8[2] to 18 ft·lbf\n',
    );
  });

  test('limits and torques of a table, but not where an equivalent stands', () => {
    const workspace = createWorkspace();
    workspace.set('a.limits', limits);
    const lines = put(workspace.check('a.limits')!, units).split('\n');
    expect(lines[1]).toContain('67.500..67.520 mm«2.65748..2.65827 in» wear <= 67.560 mm«<= 2.65984 in»');
    expect(lines[2]).toMatch(/24 ± 2 N·m«16\.\d+\.\.19\.\d+ ft·lbf»$/);
    expect(lines[3]).not.toContain('«');
  });
});

describe('progress', () => {
  test('behind the last line that speaks of a group', () => {
    expect(hinted('torque case-m8[1 2] to 24 N·m\ntorque case-m8[3] to 24 N·m\nnote x\n', progress)).toBe(
      'torque case-m8[1 2] to 24 N·m\ntorque case-m8[3] to 24 N·m«3 of 4»\nnote x\n',
    );
  });
  test('behind a member with places still to be read', () => {
    expect(hinted('measure bore[rear] @ top/pin = 67.510 mm', progress)).toBe(
      'measure bore[rear] @ top/pin = 67.510 mm«1 of 4»',
    );
  });
  test('behind the first line of a table, before a comment, after the other unit', () => {
    expect(hinted('measure bore[rear] in mm # front later\n | | pin |\n | top | 67.510 |\n', progress)).toBe(
      'measure bore[rear] in mm«1 of 4» # front later\n | | pin |\n | top | 67.510 |\n',
    );
    expect(hinted('torque case-m8[3] to 24 N·m', { units: true, progress: true })).toBe(
      'torque case-m8[3] to 24 N·m«17.7 ft·lbf»«1 of 4»',
    );
  });
  test('what a wrench with an adapter or against a drag must read, until it is written down', () => {
    // 24 × 310 / 350 = 21.26; 24 + 2.2 = 26.2.
    const line = 'torque case-m8[1] to 24 N·m adapter 40 mm, 0 °';
    const tool = 'tool TW1 "wrench" range 10..60 N·m length 310 mm\n';
    const own = (text: string) => hinted(`${tool}${text}`, progress).slice(tool.length);
    expect(own(`${line} with TW1`)).toBe(`${line}«wrench 21.3 N·m» with TW1«1 of 4»`);
    expect(own('torque case-m8[1] to 24 N·m drag 2.2 N·m')).toBe(
      'torque case-m8[1] to 24 N·m drag 2.2 N·m«wrench 26.2 N·m»«1 of 4»',
    );
    for (const more of ['set 21.3 N·m with TW1', ''])
      expect(own(`${line} ${more}`)).not.toContain('wrench 2');
    expect(hinted(`${tool}${line} with TW1`, units)).not.toContain('wrench 2');
  });
  test('nothing where nothing is wanted', () => {
    expect(hinted('torque case-m8[1 2] to 24 N·m', { units: false, progress: false })).not.toContain('«');
  });
});

test('only what lies in the range asked for', () => {
  const workspace = createWorkspace();
  workspace.set('a.limits', limits);
  workspace.set(
    'a.rebuild',
    `log "x"\nuse "a.limits"\nstep "w" 2026-05-02\ntorque case-m8[1] to 24 N·m\ntorque case-m8[2] to 25 N·m\n`,
  );
  const checked = workspace.check('a.rebuild')!;
  const from = checked.file.text.indexOf('torque case-m8[2]');
  expect(inlayHintsIn(checked, from, checked.file.text.length, units).map((hint) => hint.text)).toEqual([
    '18.4 ft·lbf',
  ]);
});
