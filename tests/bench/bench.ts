/**
 * `npm run bench`: runs every part, that is each other file here that ends in `-bench.ts` and has a default function, in
 * the order of their names. Words after the command choose parts: `npm run bench -- engine`.
 */
import { readdirSync } from 'node:fs';
import { cpus } from 'node:os';

const chosen = process.argv.slice(2);
console.log(`${cpus()[0]?.model ?? 'unknown processor'}, ${cpus().length} cores, Node ${process.versions.node}`);
for (const file of readdirSync(new URL('.', import.meta.url)).sort()) {
  if (!file.endsWith('-bench.ts')) continue;
  if (chosen.length > 0 && !chosen.some(word => file.startsWith(word))) continue;
  const part: { default: () => void | Promise<void> } = await import(new URL(file, import.meta.url).href);
  await part.default();
}
