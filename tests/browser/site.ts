/** Builds and serves what the browser tests open: the page itself, and the fixtures that drive its parts. */
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, preview } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** What each site is built from; a change of any of these makes a build stale. */
const COMMON = ['src', 'shared', 'worklets', 'samples', 'vite.config.ts', 'package-lock.json'];
const SITES = {
  page: { sources: ['index.html', 'public', ...COMMON], outDir: 'dist' },
  fixtures: {
    sources: ['tests/browser/fixtures', 'tests/audio', ...COMMON],
    outDir: '.cache/fixtures',
  },
} as const;
export type SiteName = keyof typeof SITES;

/** Latest change below a path, ms since 1970; 0 where there is nothing. */
function newest(path: string): number {
  if (!existsSync(path)) return 0;
  const stat = statSync(path);
  if (!stat.isDirectory()) return stat.mtimeMs;
  return readdirSync(path).reduce((latest, name) => Math.max(latest, newest(join(path, name))), stat.mtimeMs);
}

/** Built files of a site, built anew where its sources are younger; returns the folder. */
export async function buildSite(name: SiteName): Promise<string> {
  const { sources, outDir } = SITES[name];
  const folder = join(root, outDir);
  const stamp = join(folder, `.built-${name}`);
  const changed = Math.max(...sources.map(source => newest(join(root, source))));
  if (existsSync(stamp) && statSync(stamp).mtimeMs > changed) return folder;
  const fixtures = join(root, 'tests/browser/fixtures');
  const input =
    name === 'page'
      ? join(root, 'index.html')
      : readdirSync(fixtures)
          .filter(file => file.endsWith('.html'))
          .map(file => join(fixtures, file));
  // as shipped: a test runner's NODE_ENV would choose the libraries' development forms
  process.env.NODE_ENV = 'production';
  await build({
    root,
    logLevel: 'error',
    build: { outDir: folder, emptyOutDir: true, rolldownOptions: { input } },
  });
  mkdirSync(folder, { recursive: true });
  writeFileSync(stamp, '');
  return folder;
}

const freePort = (): Promise<number> =>
  new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() =>
        address !== null && typeof address === 'object' ? resolve(address.port) : reject(new Error('no free port')),
      );
    });
  });

/** Serves a site on a free port of this machine; `url` ends with a slash. */
export async function serveSite(name: SiteName): Promise<{ url: string; close: () => Promise<void> }> {
  const outDir = await buildSite(name);
  const port = await freePort();
  // as `npm start` sends them; what drives parts of the page is not held to its policy
  const headers = name === 'page' ? JSON.parse(readFileSync(join(outDir, 'headers.json'), 'utf8')) : {};
  const server = await preview({
    root,
    logLevel: 'error',
    build: { outDir },
    preview: { port, host: '127.0.0.1', strictPort: true, open: false, headers },
  });
  const path = name === 'fixtures' ? 'tests/browser/fixtures/' : '';
  return { url: `http://127.0.0.1:${port}/${path}`, close: () => server.close() };
}
