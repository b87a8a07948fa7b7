import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/editor/**'],
    setupFiles: ['tests/harness/seed.ts'],
    testTimeout: 30_000,
    hookTimeout: 30_000,
  },
});
