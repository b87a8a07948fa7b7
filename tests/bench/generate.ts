/** Writes realistic logs of a wanted length from a seed, so that every run measures the same text. */

/** The table of limits that every generated log uses. */
export const limitsText = `limits "Tern 460, issue 3"
source "Tern 460 shop sheet, issue 3"
assembly bottom-end "Bottom end"
limit crank-runout 0..0.05 mm wear <= 0.08 mm ref "3.1"
limit bore[front rear] @ (top middle bottom)/(thrust pin) 67.500..67.520 mm wear <= 67.560 mm of cylinder ref "3.2"
limit piston-skirt[front rear] 67.425..67.440 mm of piston ref "3.2"
limit bore-taper[front rear] = taper(bore) <= 0.03 mm ref "3.2"
limit piston-clearance[front rear] = bore - piston-skirt 0.060..0.120 mm wear <= 0.150 mm ref "3.3"
fastener case-m8[1..10] M8x1.25 class 8.8 torque 24 ± 2 N·m stages 12 N·m, 24 N·m ref "4.1"
fastener hub-nut[1..6] M8 class 8.8 torque 22 ± 2 N·m ref "4.6"
part cylinder[front rear] "cylinder"
part piston[front rear] "piston"
`;

/** Numbers from 0 up to 1, the same for the same seed (a linear congruence, constants of Numerical Recipes). */
function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A log of exactly `lines` lines that uses the table at `limits`. About one reading in thirty is past its limit. */
export function generateLog(lines: number, seed: number, limits = 'tern.limits'): string {
  const next = random(seed);
  const within = (low: number, high: number, digits: number) => (low + next() * (high - low)).toFixed(digits);
  const pick = (words: readonly string[]) => words[Math.floor(next() * words.length)] as string;
  const side = () => pick(['front', 'rear']);
  const out = [
    `log "Tern 460 no. ${String(1000 + (seed % 9000))}"`,
    `use "${limits}"`,
    'machine tern-460 serial "0117" hours 312.4 h',
    'covers bottom-end',
    'person AQ "Ada Quill" builder',
    'person JM "Jory Marsh" inspector',
    'tool TW1 "3/8 click wrench" range 10..60 N·m accuracy 4 % calibrated 2026-01-02 due 2030-01-02',
    'tool BG1 "bore gauge" range 50..100 mm resolution 0.002 mm calibrated 2026-01-15 due 2030-01-15',
  ];
  const entries: readonly (() => readonly string[])[] = [
    () => [
      `  measure bore[${side()}] @ ${pick(['top', 'middle', 'bottom'])}/${pick(['thrust', 'pin'])} = ${within(67.5, 67.5205, 3)} mm with BG1`,
    ],
    () => [`  measure piston-skirt[${side()}] = ${within(67.424, 67.441, 3)} mm with BG1`],
    () => [`  measure crank-runout = ${within(0, 0.052, 2)} mm`],
    () => [`  torque case-m8[${Math.ceil(next() * 10)}] to ${pick(['12', '24'])} N·m with TW1`],
    () => [`  torque hub-nut[${Math.ceil(next() * 6)}] to 22 N·m with TW1`],
    () => [`  fit piston[${side()}] reused`],
    () => ['  note Wiped down, no score marks # the rest is looked at tomorrow'],
    () => [
      `  measure bore[${side()}] in mm`,
      '    |        | thrust | pin    |',
      ...['top', 'middle', 'bottom'].map(
        (row) => `    | ${row.padEnd(6)} | ${within(67.5, 67.52, 3)} | ${within(67.5, 67.52, 3)} |`,
      ),
    ],
    () => ['  # looked at in daylight'],
  ];
  let day = 0;
  while (out.length < lines) {
    const date = new Date(Date.UTC(2026, 1, 1) + 86_400_000 * (day++ >> 2)).toISOString().slice(0, 10);
    const clock = `${String(8 + 2 * ((day - 1) & 3)).padStart(2, '0')}:00`;
    out.push(`step "${pick(['Measure', 'Torque', 'Assemble', 'Look over'])} ${day}" ${date} ${clock} by AQ`);
    const most = 8 + Math.floor(next() * 12);
    for (let i = 0; i < most; i++) out.push(...(entries[Math.floor(next() * entries.length)]?.() ?? []));
    out.push('');
  }
  return `${out.slice(0, lines).join('\n')}\n`;
}

/** The same log with a remark behind every line, so that no line says what another one says. */
export function withoutRepeats(text: string, mark: string): string {
  return text.replace(/[^\n]+/g, (line, at) => `${line} # ${mark} ${at}`);
}

/** The files of a repository of logs, each with its path; ten machines, each with a folder of its own. */
export function* generateRepository(
  logs: number,
  lines: number,
): Iterable<readonly [path: string, text: string]> {
  yield ['tern.limits', limitsText];
  for (let i = 0; i < logs; i++)
    yield [
      `tern-460-${i % 10}/${String(i).padStart(4, '0')}.rebuild`,
      generateLog(lines, i + 1, '../tern.limits'),
    ];
}
