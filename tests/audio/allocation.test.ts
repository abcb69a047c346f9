/** `process()` runs on the audio thread: it must leave nothing for the garbage collector. */
import { execFileSync } from 'node:child_process';
import { expect, test } from 'vitest';

const PROGRAM = `
import { installEngine } from './shared/audio/binary.ts';
import { Engine } from './shared/audio/engine.ts';
import { packKernels } from './shared/audio/partition.ts';
import { compiledEngine } from './src/bundling/engine-binary.ts';
installEngine(await compiledEngine());
const kernel = gain => Float32Array.from({ length: 500 }, (_, i) => gain * Math.exp(-i / 60));
const sets = [0.5, 2].map(gain => packKernels([[kernel(gain), kernel(-gain)]]));
const engine = new Engine({ sampleRate: 48000, strings: 6, outputs: 2, maxTaps: 1024, rise: 0.1 });
const input = Array.from({ length: 6 }, (_, s) => Float32Array.from({ length: 128 }, (_, i) => Math.sin(i * (s + 1))));
const output = [new Float32Array(128), new Float32Array(128)];
const meters = new Float32Array(7);
function run(blocks) {
  for (let b = 0; b < blocks; b++) {
    // Loud and limited, quiet, silent and broken blocks, and changes of volume.
    const part = Math.floor(b / 1000) % 4;
    for (const channel of input) channel[5] = part === 1 ? 0.1 : part === 2 && b % 100 === 0 ? NaN : part === 3 ? 0 : 3;
    if (b % 500 === 0) engine.setVolume(0.5 + (b % 1000) / 1000);
    engine.process(input, output);
    if (b % 12 === 0) engine.readMeters(meters);
    if (process.argv.includes('leak')) globalThis.kept = new Float64Array(16);
  }
}
engine.setKernels(sets[0], true);
engine.setKernels(sets[1]);
run(20000);
gc();
const held = () => process.memoryUsage().heapUsed + process.memoryUsage().arrayBuffers;
const marks = [held()];
for (let i = 0; i < 2; i++) {
  run(100000);
  marks.push(held());
}
// code that is still being compiled falls into one of the two, what a block leaves behind into both
console.log('GREW ' + Math.min(marks[1] - marks[0], marks[2] - marks[1]));
`;

/** Collections traced while twice 100,000 blocks ran, and what the heap held more after one of them at least, bytes. */
function measure(...args: string[]): { collections: number; grew: number } {
  const out = execFileSync(
    process.execPath,
    ['--expose-gc', '--trace-gc', '--import', 'tsx', '--input-type=module', '--eval', PROGRAM, '--', ...args],
    { encoding: 'utf8' },
  );
  const lines = out.split('\n');
  const start = lines.findLastIndex(line => line.includes('testing'));
  const end = lines.findIndex(line => line.startsWith('GREW'));
  // The loader's own thread has collections of its own: only those of the isolate that asked for one count.
  const isolate = lines[start]?.match(/^\[\d+:0x[0-9a-f]+\]/)?.[0] ?? '';
  expect(isolate).not.toBe('');
  return {
    collections: lines.slice(start + 1, end).filter(line => line.startsWith(isolate)).length,
    grew: Number(lines[end].slice(5)),
  };
}

test('100,000 blocks cause no garbage collection and grow the heap by less than the smallest object a block', () => {
  const { collections, grew } = measure();
  expect(collections).toBe(0);
  // An object takes at least 12 bytes.
  expect(grew).toBeLessThan(100_000 * 6);
});

test('the measurement sees one small array a block', () => {
  const { collections, grew } = measure('leak');
  expect(collections > 0 || grew > 1e6).toBe(true);
});
