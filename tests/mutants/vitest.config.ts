/** What mutants of the model are tested by: the unit tests, without the browser and the command line. */
import { defineConfig } from 'vitest/config';
import { engine } from '../../src/bundling/engine-plugin.ts';

export default defineConfig({
  plugins: [engine],
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/browser/**', 'tests/cli/**'],
    setupFiles: ['tests/setup.ts'],
    environment: 'node',
    testTimeout: 600_000,
  },
});
