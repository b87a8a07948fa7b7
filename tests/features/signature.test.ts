/** The form of a statement at the cursor (`‸`), with the part that stands there in brackets of its own. */
import { expect, test } from 'vitest';
import { signatureAt } from '../../server/features/index.ts';

function active(line: string, onlyWanted = false): string | undefined {
  const offset = line.indexOf('‸');
  const found = signatureAt(line.replace('‸', ''), offset, onlyWanted);
  const part = found?.parameters[found.active];
  return part === undefined ? undefined : found?.label.slice(part.start, part.end);
}

test('the whole form of a statement', () => {
  expect(signatureAt('loosen ', 7, false)?.label).toBe(
    'loosen name[items] [with name] [by name …] [at date time] [temp number unit] [because "text"]',
  );
  expect(signatureAt('loosen ', 7, false)?.about).toContain('slackened');
});

test.each([
  ['torque ‸', 'name[items]'],
  ['torque case-m8[1 ‸', 'name[items]'],
  ['torque case-m8[1] to ‸', '[to number unit]'],
  ['torque case-m8[1] to 24 N·m with ‸', '[with name]'],
  ['torque case-m8[1] ‸', '[to number unit]'],
  ['accept bore because "x" ‸', 'by name …'],
  ['measure bore = ‸', '[= value unit]'],
  ['step "x" ‸', 'date time'],
  ['person AQ "Ada" ‸', 'builder | inspector'],
])('%s is at %s', (line, wanted) => {
  expect(active(line)).toBe(wanted);
});

test.each(['torque case-m8[1] to 24 N·m ‸', 'note with ‸', 'frob ‸', '‸'])(
  '%s: nothing unless asked for',
  (line) => {
    expect(active(line, true)).toBeUndefined();
  },
);

test('a value that is wanted is said while typing', () => {
  expect(active('torque case-m8[1] to ‸', true)).toBe('[to number unit]');
});
