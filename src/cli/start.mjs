#!/usr/bin/env node
/** `npm start`: installs what is missing, builds what is stale, serves the page on a local port. Plain Node. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, lstatSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));
const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';

/** Runs `npm ci` when node_modules does not match the lock file; a linked folder is another's, and `npm ci` would empty it. */
export function installIfMissing() {
  const modules = join(root, 'node_modules');
  if (lstatSync(modules, { throwIfNoEntry: false })?.isSymbolicLink()) return;
  const lock = createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .digest('hex');
  const mark = join(modules, '.installed-lock');
  if (existsSync(mark) && readFileSync(mark, 'utf8') === lock) return;
  console.log('Installing the packages of the lock file …');
  execFileSync(npm, ['ci', '--no-audit', '--no-fund'], {
    cwd: root,
    stdio: ['ignore', 'ignore', 'inherit'],
    shell: process.platform === 'win32',
  });
  writeFileSync(mark, lock);
}

const SOURCES = ['src', 'shared', 'worklets', 'samples', 'index.html', 'vite.config.ts', 'package-lock.json'];

function* filesBelow(path) {
  if (!statSync(path).isDirectory()) yield path;
  else for (const name of readdirSync(path)) yield* filesBelow(join(path, name));
}

/** Builds the page unless `dist` was built from the very same sources. */
export async function buildIfStale() {
  const hash = createHash('sha256');
  for (const source of SOURCES)
    for (const file of filesBelow(join(root, source))) hash.update(file.slice(root.length)).update(readFileSync(file));
  const now = hash.digest('hex');
  const mark = join(root, 'dist', '.built-from');
  if (existsSync(mark) && readFileSync(mark, 'utf8') === now) return;
  console.log('Building the page …');
  const { build } = await import('vite');
  await build({ root, logLevel: 'warn' });
  mkdirSync(join(root, 'dist'), { recursive: true });
  writeFileSync(mark, now);
}

const USUAL_PORT = 4173;

/** The port that a person asked for; null: that is none. */
export function portIn(text) {
  if (text === undefined || text === '') return USUAL_PORT;
  const port = Number(text);
  return /^\d+$/.test(text) && port >= 1 && port <= 65535 ? port : null;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    console.error(`Comb & Coil needs Node 20.19 or later; this is ${process.versions.node}.`);
    process.exit(2);
  }
  const port = portIn(process.env.PORT);
  if (port === null) {
    console.error(`PORT is "${process.env.PORT}"; expected a whole number from 1 to 65535.`);
    process.exit(2);
  }
  installIfMissing();
  await buildIfStale();
  const headers = JSON.parse(readFileSync(join(root, 'dist', 'headers.json'), 'utf8'));
  const { preview } = await import('vite');
  try {
    const server = await preview({ root, logLevel: 'warn', preview: { port, strictPort: true, headers } });
    console.log(`Comb & Coil is at ${server.resolvedUrls?.local[0]} (stop it with Ctrl+C)`);
    if (port !== USUAL_PORT)
      console.log(
        `Browsers keep work for each address apart: what was made at port ${USUAL_PORT} is not shown at ${port}.`,
      );
  } catch (error) {
    if (!/in use|EADDRINUSE|EACCES/.test(String(error))) throw error;
    console.error(
      `Port ${port} cannot be used: another program has it, perhaps this page started before.\n` +
        `Stop that program, or choose a port: PORT=${port + 1} npm start. Browsers keep work for each address apart, ` +
        'so what was made at one port is not shown at another; Save and Open carry it over.',
    );
    process.exit(2);
  }
}
