/** How the tests in the editor tell their results: mocha runs them, and each ends as one line of plain data. */
import Mocha from 'mocha';

export interface TestResult {
  readonly title: string;
  readonly state: 'passed' | 'failed' | 'skipped';
  readonly milliseconds: number;
  /** Why it failed. */
  readonly error?: string;
}

/** Tests wait for events; this bounds the wait for one that never comes. */
export const testLimit = 20_000;

/** Runs what `mocha` holds, reports each test as it ends, and gives how many failed. */
export function runAndReport(mocha: Mocha, report: (result: TestResult) => void): Promise<number> {
  mocha.reporter(Mocha.reporters.Base); // which prints nothing by itself
  return new Promise((done) => {
    const runner = mocha.run(done);
    const result = (test: Mocha.Runnable, state: TestResult['state']) => ({
      title: test.fullTitle(),
      state,
      milliseconds: test.duration ?? 0,
    });
    runner.on('pass', (test) => report(result(test, 'passed')));
    runner.on('pending', (test) => report(result(test, 'skipped')));
    runner.on('fail', (test, error: Error) =>
      report({ ...result(test, 'failed'), error: error.stack ?? error.message }),
    );
  });
}
