/** A bar on standard error for work that takes long, where somebody is looking. */

/** How long work goes on before the bar is shown, in ms. */
const PATIENCE = 500;

/** Maps one by one; on a terminal a bar shows how far it is once it has taken a while. */
export async function mapWithProgress<T, R>(items: readonly T[], work: (item: T) => R): Promise<R[]> {
  const results: R[] = [];
  if (process.stderr.isTTY !== true) return items.map(work);
  const began = Date.now();
  let bar: { update(done: number): void; stop(): void } | undefined;
  for (const item of items) {
    results.push(work(item));
    if (bar === undefined && Date.now() - began > PATIENCE && results.length < items.length) {
      const { SingleBar } = await import('cli-progress');
      const shown = new SingleBar({
        format: 'checking {bar} {value} of {total} files',
        barCompleteChar: '#',
        barIncompleteChar: '.',
        stream: process.stderr,
        clearOnComplete: true,
        hideCursor: true,
      });
      shown.start(items.length, results.length);
      bar = shown;
    }
    bar?.update(results.length);
  }
  bar?.stop();
  return results;
}
