/** Modules say what there is; work begins in the page's start. Read without a browser, none may want one. */
import { readdirSync } from 'node:fs';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';

const modules = import.meta.glob('../src/{words,files,audio,workers,state}/*.ts');
const touched: string[] = [];
/** What a module could begin work with. */
const BROWSER = ['document', 'window', 'localStorage', 'sessionStorage', 'indexedDB', 'location', 'Worker', 'fetch'];
const CALLS = ['setTimeout', 'setInterval', 'addEventListener', 'requestAnimationFrame', 'queueMicrotask'];
const before = new Map([...BROWSER, ...CALLS].map(name => [name, Object.getOwnPropertyDescriptor(globalThis, name)]));
/** Scripts of workers, and what only they import: there, to be imported is to be started. */
const OF_WORKERS = /\.worker\.ts$|\/take-engine\.ts$/;
let loading = '';

beforeAll(() => {
  // what another test file has imported is to be read again
  vi.resetModules();
  for (const name of BROWSER)
    Object.defineProperty(globalThis, name, {
      configurable: true,
      get: () => {
        if (isOurs()) touched.push(`${loading}: ${name}`);
        return before.get(name)?.value;
      },
    });
  for (const name of CALLS) {
    const real: unknown = before.get(name)?.value;
    Object.defineProperty(globalThis, name, {
      configurable: true,
      value: (...args: unknown[]) => {
        if (isOurs()) touched.push(`${loading}: ${name}`);
        return typeof real === 'function' ? Reflect.apply(real, globalThis, args) : undefined;
      },
    });
  }
});
afterAll(() => {
  for (const [name, descriptor] of before)
    if (descriptor) Object.defineProperty(globalThis, name, descriptor);
    else Reflect.deleteProperty(globalThis, name);
});

/** Whether a line of `src` asks: the test runner and libraries look around for themselves. */
const isOurs = (): boolean => {
  const callers = (new Error().stack ?? '').split('\n').slice(3, 4).join();
  return /\/src\//.test(callers) && !callers.includes('node_modules');
};

test('importing begins nothing', async () => {
  const files = Object.keys(modules).filter(file => !OF_WORKERS.test(file));
  expect(files.length).toBeGreaterThan(readdirSync('src/state').length + readdirSync('src/words').length);
  for (const file of files) {
    loading = file;
    await modules[file]();
  }
  expect(touched).toEqual([]);
});

test('a planted module that looks at the address is caught', async () => {
  loading = 'planted';
  await import('./planted/src/looks-at-address.ts');
  expect(touched).toEqual(['planted: location', 'planted: setTimeout']);
});
