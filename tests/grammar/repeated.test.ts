/** Lines that say the same: read once, they still stand each where it stands. */
import { expect, test } from 'vitest';
import { parse } from '../../grammar/index.ts';

test('a line read for the fourth time is what it was when it was read first', () => {
  const line = '  torque case-m8[3] to 24 N·m with TW1 # in the shade\n';
  const alone = parse(line).blocks[0]!;
  const { blocks } = parse(`log "x"\n${line.repeat(4)}`);
  for (const [i, block] of blocks.slice(1).entries()) {
    expect(block).toEqual({ ...alone, line: i + 1, start: 8 + i * line.length });
    expect(block).not.toBe(blocks[i]);
  }
  // The first two were read; what they say is held from then on.
  expect(blocks[3]?.statement).toBe(blocks[4]?.statement);
});

test('its faults stand with it', () => {
  const line = '  torque case-m8[3 to 24 N·m\n';
  const { blocks } = parse(line.repeat(4));
  for (const { faults } of blocks) expect(faults).toEqual(blocks[0]?.faults);
  expect(blocks[3]?.faults).toHaveLength(1);
});
