/** What mutants of the model are tested by: the unit tests, without the browser. */
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: { include: ['tests/**/*.test.ts'], exclude: ['tests/browser/**', 'tests/cli/**'], environment: 'node' },
});
