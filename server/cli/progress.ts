/** A bar on standard error for work that takes long, where somebody is looking. */

/** How long a run goes on before the bar is shown, in ms. */
const PATIENCE = 200;

export interface Progress {
  /** Says how many of the files are done. */
  tell(done: number): void;
  end(): void;
}

interface Bar {
  start(total: number, done: number): void;
  update(done: number): void;
  stop(): void;
}

/** Progress over so many files of a run that began at `began`; on anything but a terminal it says nothing. */
export function startProgress(total: number, began: Date): Progress {
  if (process.stderr.isTTY !== true) return { tell() {}, end() {} };
  let bar: Bar | undefined;
  return {
    tell(done) {
      if (bar !== undefined) return bar.update(done);
      if (done === total || Date.now() - began.getTime() < PATIENCE) return;
      bar = newBar();
      bar.start(total, done);
    },
    end: () => bar?.stop(),
  };
}

/** Its library is read only once there is a bar to show. */
function newBar(): Bar {
  const { SingleBar } = require('cli-progress') as typeof import('cli-progress');
  return new SingleBar({
    format: 'checking {bar} {value} of {total} files',
    barCompleteChar: '#',
    barIncompleteChar: '.',
    stream: process.stderr,
    clearOnComplete: true,
    hideCursor: true,
  });
}
