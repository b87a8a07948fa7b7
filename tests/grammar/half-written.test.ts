/** What is told of a line that is half written: one fault for one thing, with an example of its own kind. */
import { expect, test } from 'vitest';
import { parse } from '../../grammar/index.ts';

test.each([
  ['measure x[', ['This bracket is not closed: `]` is missing.']],
  ['measure x[1,', ['This bracket is not closed: `]` is missing.', 'After `,`, an item is missing.']],
  ['step "a" 2026-0', ['A date is written as in `2026-05-03`, not `2026-0`.']],
  ['step "a" 2026-05-01 08:3', ['A time is written as in `07:40`, not `08:3`.']],
  ['step "a" 2026-05-01 by', ['`by` is followed by a name such as `AQ`.']],
  ['step "a" 2026-05-01 with', ['`with` is followed by a name such as `TW1`.']],
  ['step "a" 2026-05-01 temp', ['`temp` is followed by a quantity such as `24 °C`.']],
  ['torque x to 24 N·m angle', ['`angle` is followed by a quantity such as `24 °`.']],
  ['torque x to', ['`to` is followed by a quantity such as `24 N·m`.']],
  ['run', ['`run` lacks a quantity such as `24 min`.']],
  ['covers', ['`covers` lacks a name such as `bottom-end`.']],
  ['close', ['`close` lacks a name such as `R1`.']],
  ['machine', ['`machine` lacks a name such as `pump-gearbox` and `serial` with a text in quotes.']],
  ['accept x because "y"', ['`accept` lacks `by` with a name such as `AQ`.']],
  ['note', ['`note` lacks a text.']],
])('%s', (line, messages) => {
  const [block] = parse(line).blocks;
  expect(block?.faults.map(({ message }) => message)).toEqual(messages);
});
