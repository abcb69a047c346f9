/** The built page carries the licence text of everything in it. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { packageNotice, packageOf } from '../../src/bundling/licences.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const out = mkdtempSync(join(tmpdir(), 'notices-'));
let notices = '';

beforeAll(async () => {
  await build({ root, logLevel: 'silent', build: { outDir: out, emptyOutDir: true } });
  notices = readFileSync(join(out, 'notices.txt'), 'utf8');
}, 0);
afterAll(() => rmSync(out, { recursive: true }));

describe('notices of the built page', () => {
  test('every library that the package file names as a part of the page, and what those bring along', () => {
    const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    for (const name of [...Object.keys(dependencies), 'lit-html', '@lit/reactive-element', 'automation-events'])
      expect(notices).toMatch(new RegExp(`^${name.replaceAll('.', '\\.')} \\d+\\.\\d+`, 'm'));
  });

  test('every font family among the files has the text of its licence', () => {
    const families = new Set(
      readdirSync(join(out, 'assets'))
        .filter(file => /\.woff2?$/.test(file))
        .map(file => /^(.*?)-(?:latin|vietnamese|cyrillic|greek)/.exec(file)?.[1] ?? file),
    );
    expect(families.size).toBeGreaterThan(0);
    for (const family of families) {
      const from = notices.indexOf(`@fontsource/${family} `);
      expect(from, family).toBeGreaterThan(-1);
      expect(notices.slice(from)).toContain('SIL OPEN FONT LICENSE');
    }
  });

  test('every recording that is shipped has the notice that the manifest names', () => {
    const manifest = readFileSync(join(root, 'samples/manifest.json'), 'utf8');
    const named = [...manifest.matchAll(/"notice": "([^"]+)"/g)].map(match => match[1]);
    expect(named.length).toBeGreaterThan(0);
    for (const file of new Set(named))
      expect(notices).toContain(readFileSync(join(root, 'samples', file), 'utf8').trim());
  });

  test('a package without a text stops the build', () => {
    const folder = mkdtempSync(join(tmpdir(), 'package-'));
    writeFileSync(join(folder, 'package.json'), '{"version":"1.0.0","license":"MIT"}');
    expect(() => packageNotice('bare', folder)).toThrow(/bare .* no licence text/);
    rmSync(folder, { recursive: true });
  });

  test('packages are told by the innermost folder, scoped ones too', () => {
    expect(packageOf('/a/node_modules/@x/y/node_modules/z/lib/i.js?v=1')?.name).toBe('z');
    expect(packageOf('/a/node_modules/@x/y/i.js')).toEqual({ name: '@x/y', folder: '/a/node_modules/@x/y' });
    expect(packageOf('/a/src/main.ts')).toBeNull();
  });
});
