// How `npm run mutation` mutates quantities, calculations and rules; tests/mutation/run.mjs goes through them in turn.
export default {
  testRunner: 'together',
  plugins: ['./tests/mutation/runner.mjs'],
  // The tables of ISO 286-1 are generated; a test compares the whole file with the check values.
  mutate: [
    'server/quantities/**/*.ts',
    'server/calculations/**/*.ts',
    '!server/calculations/iso286-tables.ts',
    'server/rules/**/*.ts',
  ],
  coverageAnalysis: 'perTest',
  concurrency: 2,
  // What is made while a file is loaded, tables for the most part, is mutated too.
  ignoreStatic: false,
  // TypeScript 7 has no compiler API for Stryker to read its configuration by; nothing in it needs to be rewritten.
  tsconfigFile: 'none.json',
  disableTypeChecks: false,
  ignorePatterns: ['/dist', '/client', '/.cache', '/.stryker-tmp'],
  reporters: ['json', 'progress-append-only'],
  jsonReporter: { fileName: process.env.MUTATION_REPORT ?? 'reports/mutation/mutation.json' },
  allowConsoleColors: false,
};
