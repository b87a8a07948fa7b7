/** Which unit of the other system says what one says. */
import { expect, test } from 'vitest';
import {
  findUnit,
  otherUnit,
  sameKind,
  systemOf,
  unitInSystem,
  units,
} from '../../server/quantities/index.ts';

test.each([
  ['mm', 67, 'in'],
  ['µm', 5, 'thou'],
  ['in', 2.6, 'mm'],
  // Common practice: small torques are spoken of in inches, large ones in feet.
  ['N·m', 14.9, 'in·lbf'],
  ['N·m', -14.9, 'in·lbf'],
  ['N·m', 15, 'ft·lbf'],
  ['in·lbf', 88, 'N·m'],
  ['psi', 30, 'bar'],
  ['°F', 70, '°C'],
  ['°', 60, undefined],
  ['h', 5, undefined],
  ['%', 5, undefined],
])('%s (%d) is %s in the other system', (unit, value, wanted) => expect(otherUnit(unit, value)).toBe(wanted));

test('every pair measures the same kind of thing, in the two systems', () => {
  const listed = units.map(({ name }) => name).filter((name) => systemOf(name) !== undefined);
  expect(listed.length).toBeGreaterThan(30);
  for (const name of listed) {
    const own = systemOf(name)!;
    const other = unitInSystem(name, 20, own === 'metric' ? 'imperial' : 'metric')!;
    expect([name, findUnit(other)?.name, sameKind(name, other), systemOf(other)]).toEqual([
      name,
      other,
      true,
      own === 'metric' ? 'imperial' : 'metric',
    ]);
    // It is in its own system already.
    expect(unitInSystem(name, 20, own)).toBeUndefined();
  }
});
