import { beforeAll, describe, expect, test } from 'vitest';
import { Engine } from '../../shared/audio/engine.ts';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { BLOCK, packKernels } from '../../shared/audio/partition.ts';
import { truePeak } from '../../shared/audio/true-peak.ts';
import { readWav } from '../../shared/audio/wav.ts';
import type { Letter } from '../../shared/document/sheet.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { TARGET_LEVEL } from '../../shared/response/level-match.ts';
import { modelledSteps } from '../../shared/take/modelled.ts';
import { scoreFor } from '../../shared/take/scores.ts';
import { type FileOptions, type RenderedFile, renderGroup } from '../../src/files/render-files.ts';

const RATE = 48_000;
const [a, b] = demoBuilds();
const builds = [
  { letter: 'A' as Letter, build: a },
  { letter: 'B' as Letter, build: b },
];
const take = { id: 'modelled-strum', name: 'Strum, modelled strings' };
let channels: Float32Array[] = [];
beforeAll(() => {
  const steps = modelledSteps(scoreFor(take.id, a.instrument)!, a.instrument, RATE, undefined);
  for (;;) {
    const step = steps.next();
    if (!step.done) continue;
    // three seconds are enough of it
    channels = step.value.channels.map(channel => channel.slice(0, 3 * RATE));
    return;
  }
});

const files = (options: Partial<FileOptions>, point: 4 | 5 = 5): RenderedFile[] =>
  renderGroup(builds, () => ({ channels, sampleRate: RATE }), take, point, {
    bits: '32f',
    matched: true,
    reference: 'A',
    ...options,
  });

/** What the engine gives block by block, as it does in the audio thread, at a gain in dB. */
function heard(build: typeof a, dB: number): Float32Array {
  const engine = new Engine({ sampleRate: RATE, strings: channels.length, outputs: 1, limiter: false });
  engine.setKernels(packKernels(kernels(build, 5, RATE).outputs, 10 ** (dB / 20)), true);
  const length = Math.floor(channels[0].length / BLOCK) * BLOCK;
  const out = new Float32Array(length);
  for (let at = 0; at < length; at += BLOCK)
    engine.process(
      channels.map(c => c.subarray(at, at + BLOCK)),
      [out.subarray(at, at + BLOCK)],
    );
  return out;
}

/** Chunks of a RIFF file by their ids, each size checked against the file. */
function chunks(bytes: Uint8Array): Map<string, Uint8Array> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const name = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  expect([name(0), name(8)]).toEqual(['RIFF', 'WAVE']);
  expect(view.getUint32(4, true)).toBe(bytes.length - 8);
  const found = new Map<string, Uint8Array>();
  let at = 12;
  while (at < bytes.length) {
    const size = view.getUint32(at + 4, true);
    expect(at + 8 + size).toBeLessThanOrEqual(bytes.length);
    found.set(name(at), bytes.subarray(at + 8, at + 8 + size));
    at += 8 + size + (size % 2);
  }
  expect(at).toBe(bytes.length);
  return found;
}

describe('a rendered file', () => {
  test('is what the engine gives at the same level, within −120 dB of its peak', () => {
    files({}).forEach((file, i) => {
      const [sound] = readWav(file.bytes).channels;
      const expected = heard(builds[i].build, file.gain);
      let [most, off] = [0, 0];
      expected.forEach((x, n) => {
        most = Math.max(most, Math.abs(x));
        off = Math.max(off, Math.abs(x - sound[n]));
      });
      expect(most).toBeGreaterThan(0.01);
      expect(20 * Math.log10(off / most)).toBeLessThan(-120);
    });
  });

  test('is dithered as integers: the error has the power of rounding and triangular noise together, a quarter step²', () => {
    // Lipshitz, Wannamaker and Vanderkooy, J. Audio Eng. Soc. 40 (1992): total error of TPDF dither is Δ²/4
    const [exact] = readWav(files({})[0].bytes).channels;
    for (const bits of [16, 24] as const) {
      const [sound] = readWav(files({ bits })[0].bytes).channels;
      const step = 2 ** (1 - bits);
      let power = 0;
      for (const [n, x] of exact.entries()) power += ((x - sound[n]) / step) ** 2;
      // the float file's own rounding is in the 24-bit figure
      expect(power / exact.length).toBeGreaterThan(0.24);
      expect(power / exact.length).toBeLessThan(0.26);
    }
  });

  test('says in its notes what it is, and its chunks fill it', () => {
    for (const bits of [16, 24, '32f'] as const) {
      const [, file] = files({ bits, matched: false });
      const found = chunks(file.bytes);
      const info = new TextDecoder().decode(found.get('LIST'));
      expect(info.startsWith('INFO')).toBe(true);
      for (const part of [b.name, take.name, take.id, 'test point 5', 'true levels', b.instrument.name])
        expect(info).toContain(part);
      const format = new DataView(found.get('fmt ')!.slice().buffer);
      expect(format.getUint16(0, true)).toBe(bits === '32f' ? 3 : 1);
      expect(format.getUint32(4, true)).toBe(RATE);
      expect(found.get('data')!.length % format.getUint16(12, true)).toBe(0);
    }
  });
});

describe('levels', () => {
  const measured = (file: RenderedFile) => {
    const { channels: sound, sampleRate } = readWav(file.bytes);
    return { loudness: integratedLoudness([sound[0], sound[0]], sampleRate), peak: truePeak(sound, sampleRate) };
  };

  test('matched: equally loud within 0.1 LU, no true peak above −1 dB, and never louder than the target', () => {
    const rendered = files({});
    const [first, second] = rendered.map(measured);
    expect(Math.abs(first.loudness - second.loudness)).toBeLessThan(0.1);
    expect(Math.max(first.peak, second.peak)).toBeLessThanOrEqual(10 ** (-1 / 20) * (1 + 1e-6));
    expect(first.loudness).toBeLessThanOrEqual(TARGET_LEVEL + 0.1);
    // the page's own target, less what the file says it was lowered by
    for (const file of rendered) expect(measured(file).loudness + file.lowered).toBeCloseTo(TARGET_LEVEL, 1);
    // softer only where a true peak would pass −1 dB
    const softened = first.loudness < TARGET_LEVEL - 0.1;
    if (softened) expect(Math.max(first.peak, second.peak)).toBeGreaterThan(10 ** (-1.05 / 20));
  });

  // ITU-R BS.1770-5: a channel of a mono file is summed once; 997 Hz at full scale in it reads −3.01
  test('the loudness stated is what a meter reads from the file, in the figures and in the note', () => {
    for (const matched of [true, false])
      for (const file of files({ matched })) {
        const { channels: sound, sampleRate } = readWav(file.bytes);
        expect(sound).toHaveLength(1);
        const read = integratedLoudness(sound, sampleRate);
        expect(Math.abs(file.loudness - read)).toBeLessThan(0.01);
        const text = new TextDecoder('latin1').decode(file.bytes);
        expect(text).toContain(`; ${read < 0 ? '-' : '+'}${Math.abs(file.loudness).toFixed(2)} LUFS; `);
      }
  });

  test('true: the difference is that of the outputs themselves', () => {
    const own = builds.map(({ build }) => integratedLoudness([heard(build, 0), heard(build, 0)], RATE));
    const [first, second] = files({ matched: false }).map(measured);
    expect(Math.abs(second.loudness - first.loudness - (own[1] - own[0]))).toBeLessThan(0.1);
    expect(Math.abs(own[1] - own[0])).toBeGreaterThan(3);
    const [reference] = files({ matched: false });
    expect(first.loudness + reference.lowered).toBeCloseTo(TARGET_LEVEL, 1);
  });

  test('files of one take are equally long', () => {
    const [first, second] = files({});
    expect(readWav(first.bytes).channels[0].length).toBe(readWav(second.bytes).channels[0].length);
  });
});
