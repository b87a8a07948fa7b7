// Measures the checker and the language server against an empty Node process and a do-nothing server of the same run.
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { buildSync } from 'esbuild';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';

const folder = mkdtempSync(join(tmpdir(), 'witnessmark-bench-'));
const bundle = (entry, name, format = 'cjs') => {
  const outfile = join(folder, name);
  buildSync({
    entryPoints: [entry],
    outfile,
    bundle: true,
    alias: { 'jsonc-parser': 'jsonc-parser/lib/esm/main.js' },
    platform: 'node',
    format,
    target: 'node22',
    logLevel: 'warning',
    loader: { '.md': 'text' },
    define: { 'process.env.WITNESSMARK_PRODUCTION': '"1"' },
  });
  return outfile;
};
const quantile = (sorted, q) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * q))];
const median = (values) =>
  quantile(
    [...values].sort((a, b) => a - b),
    0.5,
  );

/** Milliseconds of a whole process. */
function timeProcess(args, runs) {
  const times = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    const result = spawnSync(process.execPath, args, { stdio: 'ignore' });
    times.push(performance.now() - start);
    if (result.error) throw result.error;
    if (result.status > 1) throw new Error(`${args.join(' ')} ended with ${result.status}`);
  }
  return median(times);
}

/**
 * Milliseconds to start, to open, from each of many keystrokes to the diagnostics of its version, and for hovers and
 * completions asked right after one; memory of the server in MB; the last diagnostics. The do-nothing server answers with
 * the `diagnostics` that it is given.
 */
async function timeServer(server, text, count, diagnostics = []) {
  const uri = pathToFileURL(join(folder, 'few', 'typed.rebuild')).href;
  const began = performance.now();
  const child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  let arrived = () => {};
  connection.onNotification('textDocument/publishDiagnostics', (one) => arrived(one));
  connection.listen();
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: null,
    capabilities: {},
    initializationOptions: { diagnostics },
  });
  const started = performance.now() - began;
  await connection.sendNotification('initialized', {});
  const published = (version) =>
    new Promise((resolve) => {
      arrived = (one) => {
        if (one.uri === uri && one.version === version) resolve(one);
      };
    });
  const opening = performance.now();
  let answer = published(1);
  void connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: 'rebuild-log', version: 1, text },
  });
  await answer;
  const opened = performance.now() - opening;
  const lines = text.split('\n');
  const line = lines.findIndex(
    (one, i) => i > lines.length / 2 && /^ {2}measure crank-runout = 0\.\d\d/.test(one),
  );
  const character = lines[line].indexOf('= 0.') + 4;
  const times = [];
  let last;
  for (let version = 2; version < count + 2; version++) {
    answer = published(version);
    const start = performance.now();
    void connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version },
      contentChanges: [
        {
          range: { start: { line, character }, end: { line, character: character + 1 } },
          text: String(version % 10),
        },
      ],
    });
    last = await answer;
    times.push(performance.now() - start);
  }
  const asked = async (method, params) => {
    const own = [];
    for (let i = 0; i < 50; i++) {
      const start = performance.now();
      await connection.sendRequest(method, { textDocument: { uri }, ...params });
      own.push(performance.now() - start);
    }
    return own.sort((a, b) => a - b);
  };
  const hover = await asked('textDocument/hover', { position: { line, character } });
  const completion = await asked('textDocument/completion', {
    position: { line, character: '  measure '.length },
  });
  const memory = memoryOf(child.pid);
  await connection.sendRequest('shutdown');
  await connection.sendNotification('exit');
  connection.dispose();
  times.sort((a, b) => a - b);
  const both = (sorted) => [quantile(sorted, 0.5), quantile(sorted, 0.95)];
  return {
    started,
    opened,
    p50: quantile(times, 0.5),
    p95: quantile(times, 0.95),
    hover: both(hover),
    completion: both(completion),
    memory,
    diagnostics: last.diagnostics,
  };
}

/** Megabytes that a process holds in memory; undefined where the machine does not tell. */
function memoryOf(pid) {
  try {
    const kilobytes = /^VmRSS:\s+(\d+)/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
    return kilobytes === undefined ? undefined : Math.round(Number(kilobytes) / 1024);
  } catch {
    return undefined;
  }
}

const ms = (value) => Number(value.toFixed(2));
const ratio = (value, base) => Number((value / base).toFixed(2));

try {
  const { generateLog, generateRepository, limitsText, withoutRepeats } = await import(
    pathToFileURL(bundle('tests/bench/generate.ts', 'generate.mjs', 'esm')).href
  );
  console.log('Core, in lines a second (median; heap of a checked log after collection)');
  const core = spawnSync(process.execPath, ['--expose-gc', bundle('tests/bench/core.ts', 'core.cjs')], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  console.table(JSON.parse(core.stdout));

  cpSync('dist', join(folder, 'dist'), { recursive: true });
  for (const name of ['few', 'many', 'unlike']) {
    mkdirSync(join(folder, name));
    writeFileSync(join(folder, name, 'tern.limits'), limitsText);
  }
  writeFileSync(join(folder, 'few', 'a.rebuild'), generateLog(1_000, 1));
  for (let i = 0; i < 200; i++) {
    const text = generateLog(500, i + 1);
    writeFileSync(join(folder, 'many', `${i}.rebuild`), text);
    writeFileSync(join(folder, 'unlike', `${i}.rebuild`), withoutRepeats(text, String(i)));
  }
  for (const [path, text] of generateRepository(1_000, 500)) {
    mkdirSync(dirname(join(folder, 'thousand', path)), { recursive: true });
    writeFileSync(join(folder, 'thousand', path), text);
  }
  writeFileSync(join(folder, 'empty.cjs'), '');
  const cli = join(folder, 'dist', 'cli.cjs');
  const empty = timeProcess([join(folder, 'empty.cjs')], 9);
  const few = timeProcess([cli, 'check', join(folder, 'few')], 5);
  const many = timeProcess([cli, 'check', join(folder, 'many')], 3);
  const unlike = timeProcess([cli, 'check', join(folder, 'unlike')], 3);
  const thousand = (...words) => timeProcess([cli, 'check', join(folder, 'thousand'), ...words], 3);
  const [one, two, share] = [
    thousand('--threads', '1'),
    thousand('--threads', '2'),
    thousand('--threads', '1', '--shard', '1/4'),
  ];
  console.log(`Whole process (median; dist/ as built; ${availableParallelism()} cores)`);
  console.table([
    { what: 'empty Node process', ms: ms(empty), ratio: 1 },
    { what: 'check, 1 000 lines', ms: ms(few), ratio: ratio(few, empty) },
    { what: 'check, 100 000 lines in 200 files', ms: ms(many), ratio: ratio(many, empty) },
    { what: 'the same, no line twice', ms: ms(unlike), ratio: ratio(unlike, empty) },
    { what: 'check, 500 000 lines in 1 000 files', ms: ms(one), ratio: ratio(one, empty) },
    { what: 'the same on two threads', ms: ms(two), ratio: ratio(two, empty) },
    { what: 'the first of four shares of it', ms: ms(share), ratio: ratio(share, empty) },
  ]);

  const server = bundle('server/lsp/main-node.ts', 'server.cjs');
  const nothing = bundle('tests/bench/do-nothing-server.ts', 'nothing.cjs');
  console.log(
    'Server over stdio, in ms: start, open, keystroke to diagnostics; hover and completion p50 / p95',
  );
  const rows = [];
  for (const lines of [1_000, 10_000, 50_000]) {
    const text = generateLog(lines, 1);
    const base = await timeServer(nothing, text, 200);
    const own = await timeServer(server, text, 200);
    const same = await timeServer(nothing, text, 200, own.diagnostics);
    const row = (name, one) => ({
      lines,
      server: name,
      start: ms(one.started),
      open: ms(one.opened),
      p50: ms(one.p50),
      p95: ms(one.p95),
      ratio50: ratio(one.p50, base.p50),
      ratio95: ratio(one.p95, base.p95),
      hover: one.hover.map(ms).join(' / '),
      completion: one.completion.map(ms).join(' / '),
      MB: one.memory,
    });
    rows.push(row('do-nothing', base), row('the same findings', same), row('witnessmark', own));
  }
  console.table(rows);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
