import { defineConfig } from 'vitest/config';

/** One run of everything the machine can; slow suites (reference programs, the real editor) skip themselves and say how to install. */
export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/harness/seed.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    pool: 'forks',
    maxWorkers: 2,
  },
});
