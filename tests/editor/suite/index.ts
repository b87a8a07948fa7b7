/** What the editor loads to run the tests in its extension host: all files of this folder, through mocha. */
import { appendFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import Mocha from 'mocha';
import { runAndReport, testLimit } from '../report.ts';

/**
 * Rejects when a test failed. The desktop editor then exits with 1, the served one with 0 all the same; so the
 * report ends with a line of its own, and a report without it was cut off.
 */
export async function run(): Promise<void> {
  const report = process.env.WITNESSMARK_EDITOR_REPORT;
  if (report === undefined) throw new Error('WITNESSMARK_EDITOR_REPORT names no file');
  const only = process.env.WITNESSMARK_EDITOR_GREP;
  const mocha = new Mocha({ ui: 'tdd', timeout: testLimit, ...(only ? { grep: only } : {}) });
  for (const file of readdirSync(__dirname).sort()) {
    if (file.endsWith('.test.cjs')) mocha.addFile(join(__dirname, file));
  }
  const write = (line: unknown) => appendFileSync(report, `${JSON.stringify(line)}\n`);
  const failures = await runAndReport(mocha, write);
  write('end');
  if (failures > 0) throw new Error(`${failures} failed`);
}
