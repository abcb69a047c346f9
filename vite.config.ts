import { defineConfig } from 'vitest/config';
import { notices } from './src/bundling/licences.ts';

const shipped = notices();

export default defineConfig({
  base: './',
  plugins: [shipped.page],
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
          // against hanging, not against slowness: a loaded machine may take its time
          testTimeout: 600_000,
        },
      },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          globalSetup: ['tests/browser/serve.ts'],
          fileParallelism: false,
          testTimeout: 300_000,
          hookTimeout: 300_000,
          expect: { poll: { timeout: 60_000 } },
        },
      },
    ],
  },
});
