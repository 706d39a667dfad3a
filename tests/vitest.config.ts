import { defineConfig } from 'vitest/config';

/**
 * One run of everything the machine can; slow suites (reference programs, the real editor) skip themselves and say how to install.
 * Time-outs are there for what hangs: no test may fail because the machine is slow.
 */
export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/harness/seed.ts'],
    testTimeout: 600_000,
    hookTimeout: 600_000,
    pool: 'forks',
    maxWorkers: 2,
  },
});
