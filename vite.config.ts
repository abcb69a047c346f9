import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import { engine } from './src/bundling/engine-plugin.ts';
import { notices } from './src/bundling/licences.ts';
import { offline } from './src/bundling/offline-plugin.ts';
import { policy } from './src/bundling/policy-plugin.ts';

const shipped = notices();
/** Both kinds of tests run the engine in Node too. */
const setupFiles = ['tests/setup.ts'];
/** What test files share of the model is read and compiled once, not once for each: none of them may leave anything behind. */
const isolate = false;

export default defineConfig({
  base: './',
  plugins: [engine, shipped.page, policy, offline],
  build: { target: 'es2022', chunkSizeWarningLimit: 900 },
  worker: { format: 'iife', plugins: () => [shipped.worker()] },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**'],
          environment: 'node',
          setupFiles,
          isolate,
          // against hanging, not against slowness: a loaded machine may take its time
          testTimeout: 600_000,
          hookTimeout: 600_000,
          // on two cores the runner would leave one of them idle
          maxWorkers: Math.max(2, availableParallelism() - 1),
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          setupFiles,
          isolate,
          globalSetup: ['tests/browser/serve.ts'],
          // what is heard in real time needs the machine for itself
          fileParallelism: false,
          testTimeout: 600_000,
          hookTimeout: 600_000,
          expect: { poll: { timeout: 120_000 } },
        },
      },
    ],
  },
});
