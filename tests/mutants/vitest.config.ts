/** What mutants of the model are tested by: the tests that `mutants.mjs` names, or all unit tests but the command line's. */

import { defineConfig } from 'vitest/config';
import { BaseSequencer } from 'vitest/node';
import { engine } from '../../src/bundling/engine-plugin.ts';

const named = process.env.MUTANTS_TESTS?.split(' ');
const rank = (file: string): number => {
  const at = named?.findIndex(name => file.endsWith(name)) ?? -1;
  return at < 0 ? (named?.length ?? 0) : at;
};

/** A mutant's tests end with the first that fails: in the order they are named, quick ones first. */
class AsNamed extends BaseSequencer {
  override async sort(files: Parameters<BaseSequencer['sort']>[0]) {
    return [...files].sort((a, b) => rank(a.moduleId) - rank(b.moduleId));
  }
}

export default defineConfig({
  plugins: [engine],
  test: {
    include: named ?? ['tests/**/*.test.ts'],
    exclude: ['tests/browser/**', 'tests/cli/**'],
    setupFiles: ['tests/setup.ts', 'tests/mutants/setup.ts'],
    environment: 'node',
    testTimeout: 600_000,
    sequence: { sequencer: AsNamed },
  },
});
