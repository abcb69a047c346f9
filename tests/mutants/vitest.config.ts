/** What mutants of the model are tested by: the tests that `mutants.mjs` names, or all unit tests but the command line's. */
import { defineConfig } from 'vitest/config';
import { engine } from '../../src/bundling/engine-plugin.ts';

export default defineConfig({
  plugins: [engine],
  test: {
    include: process.env.MUTANTS_TESTS?.split(' ') ?? ['tests/**/*.test.ts'],
    exclude: ['tests/browser/**', 'tests/cli/**'],
    setupFiles: ['tests/setup.ts', 'tests/mutants/setup.ts'],
    environment: 'node',
    testTimeout: 600_000,
  },
});
