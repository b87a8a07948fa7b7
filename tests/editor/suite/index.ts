/** What the editor loads to run the tests in its extension host: all files of this folder, through mocha. */
import { appendFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import Mocha from 'mocha';
import { runAndReport, testLimit } from '../report.ts';

/** Rejects when a test failed: the extension host then ends with status 1. */
export async function run(): Promise<void> {
  const report = process.env.WITNESSMARK_EDITOR_REPORT;
  if (report === undefined) throw new Error('WITNESSMARK_EDITOR_REPORT names no file');
  const only = process.env.WITNESSMARK_EDITOR_GREP;
  const mocha = new Mocha({ ui: 'tdd', timeout: testLimit, ...(only ? { grep: only } : {}) });
  for (const file of readdirSync(__dirname).sort()) {
    if (file.endsWith('.test.cjs')) mocha.addFile(join(__dirname, file));
  }
  const failures = await runAndReport(mocha, (result) => {
    appendFileSync(report, `${JSON.stringify(result)}\n`);
  });
  if (failures > 0) throw new Error(`${failures} failed`);
}
