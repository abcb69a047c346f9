import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readWav } from '../../shared/audio/wav.ts';
import { forcedAmplitude, releaseFactor, widthFactor } from '../../shared/string/pluck.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { addDamped, DAMPING_TIME, dampingFactor } from '../../shared/take/damping.ts';
import { lossesOf, timeConstant } from '../../shared/take/losses.ts';
import { misfit, parseManifest, takesFor } from '../../shared/take/manifest.ts';
import { contactSamples, type Pluck, pluckedNote } from '../../shared/take/modal.ts';
import { usualPluck } from '../../shared/take/modelled.ts';
import { normal, uniform } from '../../shared/take/random.ts';
import { renderTake, renderTakeSteps } from '../../shared/take/render.ts';
import { scoreDuration, stringShift } from '../../shared/take/score.ts';
import { SCORE_IDS, scoreFor } from '../../shared/take/scores.ts';
import { words } from '../../src/words/take-words.ts';

const samples = new URL('../../samples/', import.meta.url);
const json: unknown = JSON.parse(readFileSync(new URL('manifest.json', samples), 'utf8'));
const manifest = parseManifest(json);
const recordings = new Map(
  manifest.recordings
    .flatMap(recording => recording.channels)
    .map(({ file }) => [file, readWav(new Uint8Array(readFileSync(new URL(file, samples))))] as const),
);
const set = (id: string) => STRING_SETS.find(one => one.id === id)!.instrument;
const guitar = set('guitar-6');
const rendered = (id: string, instrument = guitar, sampleRate = 48000, pluck: number | null = null) =>
  renderTake(manifest.takes.find(take => take.id === id)!, { manifest, instrument, sampleRate, pluck, recordings });

const rms = (x: ArrayLike<number>, from = 0, to = x.length): number => {
  let sum = 0;
  for (let i = from; i < to; i++) sum += x[i] * x[i];
  return Math.sqrt(sum / (to - from));
};
const peak = (x: ArrayLike<number>): number => {
  let most = 0;
  for (let i = 0; i < x.length; i++) most = Math.max(most, Math.abs(x[i]));
  return most;
};

const same = (a: readonly Float32Array[], b: readonly Float32Array[]): boolean =>
  a.length === b.length && a.every((x, c) => x.length === b[c].length && x.every((v, i) => v === b[c][i]));

const lowE = guitar.strings[5];
const s = stringModel(lowE);
const single = { share: 0, detune: 0, decay: 1 };
const pluck = (change: Partial<Pluck> = {}): Pluck => ({
  fret: 0,
  at: 0.11,
  force: 1.5,
  width: 1.5e-3,
  release: 0.35e-3,
  pull: 2.5 / lowE.pitch,
  second: single,
  ...change,
});

/** Complex amplitude of a decaying partial at the moment of release, by projection on the windowed modes around it. */
const amplitudeAt = (x: Float64Array, from: number, f: number, tau: number, rate: number): number => {
  const length = Math.round(0.15 * rate);
  let [re, im, norm] = [0, 0, 0];
  for (let i = 0; i < length; i++) {
    const t = i / rate;
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length);
    re += window * x[from + i] * Math.cos(2 * Math.PI * f * t);
    im -= window * x[from + i] * Math.sin(2 * Math.PI * f * t);
    norm += (window * Math.exp(-t / tau)) / 2;
  }
  return Math.hypot(re, im) / norm;
};

describe('a plucked note', () => {
  test('its partials stand where the stiff string has them, as strong as the pluck makes them, and die as the losses say', () => {
    const rate = 48000;
    const p = pluck();
    const losses = lossesOf(lowE, 'guitar', 0);
    const note = pluckedNote(s, losses, p, 3 * rate, rate);
    const released = contactSamples(p, rate);
    for (const n of [1, 2, 3, 8, 20, 40, 70]) {
      const f = partial(s, n);
      const k = (n * Math.PI) / s.length;
      const tau = timeConstant(s, losses, 2 * Math.PI * f, k);
      const expected =
        k *
        (s.tension + s.bending * k * k) *
        forcedAmplitude(s, s.length, k, p.at, p.force) *
        widthFactor(k, p.width) *
        releaseFactor(f, p.release);
      // What drawing aside leaves ringing: the transform of its ramp.
      const pulled = Math.abs(releaseFactor(f, p.pull));
      const early = amplitudeAt(note, released + 480, f, tau, rate) / Math.exp(-480 / rate / tau);
      expect(Math.abs(early / Math.abs(expected) - 1), `partial ${n}`).toBeLessThan(0.002 + pulled);
      // Later by a time constant or half a second.
      const wait = Math.round(Math.min(0.5, tau) * rate);
      const late = amplitudeAt(note, released + 480 + wait, f, tau, rate) / Math.exp(-(480 + wait) / rate / tau);
      expect(late / early, `decay of partial ${n}`).toBeCloseTo(1, 2);
    }
  });

  test('while held it is the lever law: F (1 − x/L)', () => {
    const slow = pluck({ pull: 0.4, release: 0.2 });
    const note = pluckedNote(s, lossesOf(lowE, 'guitar', 0), slow, 48000, 48000);
    expect(note[Math.round(0.4 * 48000)] / (1.5 * (1 - 0.11 / 0.648))).toBeCloseTo(1, 2);
  });

  test('it does not depend on the sample rate', () => {
    const losses = lossesOf(lowE, 'guitar', 0);
    const p = pluck({ release: 2e-3 });
    const slow = pluckedNote(s, losses, p, 48000, 48000);
    const fast = pluckedNote(s, losses, p, 96000, 96000);
    let worst = 0;
    for (let i = 0; i < slow.length; i++) worst = Math.max(worst, Math.abs(slow[i] - fast[2 * i]));
    expect(worst / peak(slow)).toBeLessThan(2e-3);
  });

  test('a second direction beats with the first', () => {
    const rate = 48000;
    const second = { share: 0.5, detune: 0.01, decay: 1 };
    const note = pluckedNote(s, { friction: 0, air: 0, bending: 0 }, pluck({ second, at: 0.324 }), 3 * rate, rate);
    // Half a beat of the fundamental: 1/(2 · 0.01 · 82.4) = 0.607 s.
    const at = (t: number) => rms(note, Math.round(t * rate), Math.round((t + 1 / 82.4) * rate));
    expect(at(0.03 + 0.607)).toBeLessThan(0.5 * at(0.031 + 1.214));
  });

  test('the touched place stays on a string stopped high up', () => {
    const note = pluckedNote(s, lossesOf(lowE, 'guitar', 22), pluck({ fret: 22, at: 0.6 }), 4800, 48000);
    expect(note.every(Number.isFinite)).toBe(true);
    expect(peak(note)).toBeGreaterThan(0.01);
  });
});

describe('damping', () => {
  test('begins without a step and ends 100 dB down', () => {
    expect(dampingFactor(0)).toBe(1);
    expect(dampingFactor(1e-3)).toBeGreaterThan(0.99);
    expect(dampingFactor(DAMPING_TIME)).toBeCloseTo(1e-5, 8);
    const channel = new Float32Array(48000);
    addDamped(channel, new Float64Array(48000).fill(1), 100, 10000, 48000, 2);
    expect(channel[99]).toBe(0);
    expect(channel[9999]).toBe(2);
    expect(channel[47999]).toBe(0);
    let step = 0;
    for (let i = 101; i < channel.length; i++) step = Math.max(step, Math.abs(channel[i] - channel[i - 1]));
    expect(step).toBeLessThan(2.5e-3);
  });
});

describe('the list of takes', () => {
  test('every take has a score, every file is there with its notice', () => {
    expect(manifest.takes.map(take => take.id).sort()).toEqual([...SCORE_IDS].sort());
    for (const recording of manifest.recordings) {
      const notice = readFileSync(new URL(recording.notice, samples), 'utf8');
      expect(notice).toContain('Permission is hereby granted, free of charge');
      for (const channel of recording.channels) {
        const wav = recordings.get(channel.file)!;
        expect(wav.channels.length).toBe(1);
        const [x] = wav.channels;
        const before = rms(x, 0, Math.round(channel.onset * wav.sampleRate * 0.5));
        expect(before, channel.file).toBeLessThan(0.02 * peak(x));
        const after = Math.round((channel.onset + 0.05) * wav.sampleRate);
        expect(peak(x.subarray(0, after)), channel.file).toBeGreaterThan(0.2);
      }
    }
  });

  // Equal string velocity: newtons per full scale in proportion to the characteristic impedance √(Tμ).
  test('recorded levels follow the impedance of the strings', () => {
    for (const { string, newtonPerFullScale } of manifest.recordings[0].channels) {
      const model = stringModel(set('guitar-6-recorded').strings.find(one => one.name === string)!);
      expect(newtonPerFullScale / Math.sqrt(model.tension * model.mass)).toBeCloseTo(4, 1);
    }
  });

  test('a broken list says what is wrong', () => {
    expect(() => parseManifest({ ...manifest, format: 'other' })).toThrow(/not a list of takes/);
    expect(() => parseManifest({ ...manifest, recordings: [] })).toThrow(/must name a recording/);
    expect(() => parseManifest({ ...manifest, takes: [{ ...manifest.takes[0], id: 'nonesuch' }] })).toThrow(/no score/);
  });

  test('an instrument is offered what it can play, and told why not', () => {
    const ids = (id: string) => takesFor(manifest, set(id)).map(take => take.id);
    expect(ids('guitar-6')).toContain('open-strings-strum');
    expect(ids('guitar-7')).toContain('open-strings-arpeggio');
    expect(ids('guitar-6')).not.toContain('modelled-bass-line');
    expect(ids('bass-5')).toContain('modelled-bass-line');
    expect(ids('bass-5')).not.toContain('open-strings-strum');
    for (const { id } of STRING_SETS) expect(ids(id)).toContain('modelled-strum');
    const told = (id: string, instrument = guitar) =>
      words.misfit(misfit(manifest, manifest.takes.find(take => take.id === id)!, instrument)!);
    expect(told('open-strings-strum', set('bass-4'))).toMatch(/none near E4.*modelled take plays on any/);
    expect(told('open-strings-strum', set('violin'))).toMatch(/tuned E4 B3 G3 D3 A2 E2/);
    expect(told('modelled-bass-line')).toMatch(/another kind of instrument \(bass\)/);
    expect(() => rendered('open-strings-strum', set('violin'))).toThrow(/does not fit/);
    expect(() => rendered('modelled-bass-line')).toThrow(/does not fit/);
  });
});

// Rendering takes a while on a busy machine.

describe('rendering', () => {
  test('every take on every instrument that can play it: finite, right length, silent at both ends, on existing strings', () => {
    for (const { instrument, id } of STRING_SETS)
      for (const take of takesFor(manifest, instrument)) {
        const result = renderTake(take, { manifest, instrument, sampleRate: 8000, recordings });
        expect(result.channels.length).toBe(instrument.strings.length);
        for (const channel of result.channels) {
          expect(channel.length).toBe(Math.ceil(result.duration * 8000));
          expect(rms(channel), `${id} ${take.id}`).toBeLessThan(result.peak);
          expect(Math.abs(channel[0])).toBeLessThan(1e-3 * result.peak);
          expect(Math.abs(channel[channel.length - 1])).toBeLessThan(1e-4 * result.peak);
        }
        expect(result.peak).toBeGreaterThan(0.2);
        expect(result.level).toBe(take.kind === 'recorded' ? 'estimated' : 'exact');
      }
  });

  test('the same take is the same to the last bit', () => {
    expect(same(rendered('modelled-riff').channels, rendered('modelled-riff').channels)).toBe(true);
  });

  test('another pluck point is heard on modelled takes and leaves recordings alone', () => {
    const [near, far] = [0.04, 0.2].map(at => rendered('modelled-long-note', guitar, 24000, at).channels[5]);
    const bright = (x: Float32Array) => rms(x.map((v, i) => (i ? v - x[i - 1] : 0))) / rms(x);
    expect(bright(near)).toBeGreaterThan(1.3 * bright(far));
    const [a, b] = [null, 0.04].map(at => rendered('open-strings-notes', guitar, 24000, at).channels[5]);
    expect(same([a], [b])).toBe(true);
  });

  test('a bass score falls on the strings tuned for it', () => {
    const score = scoreFor('modelled-bass-line', set('bass-6'))!;
    expect(stringShift(score, set('bass-6'))).toBe(1);
    expect(stringShift(score, set('bass-5'))).toBe(0);
    expect(stringShift(score, { ...guitar, strings: guitar.strings.slice(0, 3) })).toBeNull();
  });

  test('damped and plucked again: no step between samples beyond what ringing strings make', () => {
    // Steps of the undamped long note are the measure.
    const jump = (x: Float32Array) => x.reduce((most, v, i) => (i ? Math.max(most, Math.abs(v - x[i - 1])) : 0), 0);
    const plain = rendered('modelled-long-note').channels[5];
    const riff = rendered('modelled-riff').channels[5];
    expect(jump(riff) / peak(riff)).toBeLessThan(1.4 * (jump(plain) / peak(plain)));
  });

  test('steps report progress and can be left at any note', () => {
    const take = manifest.takes.find(one => one.id === 'modelled-strum')!;
    const steps = renderTakeSteps(take, { manifest, instrument: guitar, sampleRate: 8000 });
    const first = steps.next();
    expect(first.done).toBe(false);
    expect(first.value).toBeGreaterThan(0);
    expect(steps.return(undefined as never).done).toBe(true);
    let last = 0;
    for (const part of renderTakeSteps(take, { manifest, instrument: guitar, sampleRate: 8000 })) {
      expect(part).toBeGreaterThan(last);
      last = part;
    }
    expect(last).toBe(1);
    expect(scoreDuration(scoreFor('modelled-strum', guitar)!)).toBeCloseTo(7.2, 6);
  });

  test('recorded notes keep their pitch at another sample rate, and a fret is two semitones at most', () => {
    // Zero crossings of the low-passed G string in the single notes, at two rates.
    const pitch = (rate: number) => {
      const channel = rendered('open-strings-notes', guitar, rate).channels[2];
      const at = Math.round((0.1 + 1.6 * 3 + 0.3) * rate);
      const length = Math.round(0.5 * rate);
      let best = 0;
      let lag = 0;
      for (let l = Math.round(rate / 210); l <= Math.round(rate / 185); l++) {
        let sum = 0;
        for (let i = 0; i < length; i++) sum += channel[at + i] * channel[at + i + l];
        if (sum > best) [best, lag] = [sum, l];
      }
      return rate / lag;
    };
    expect(pitch(48000)).toBeCloseTo(196.5, -0.5);
    expect(pitch(96000)).toBeCloseTo(196.5, -0.5);
    expect(Math.max(...scoreFor('open-strings-arpeggio', guitar)!.notes.map(note => note.fret))).toBeLessThanOrEqual(2);
  });

  test('a missing recording is named', () => {
    const take = manifest.takes[0];
    expect(() => renderTake(take, { manifest, instrument: guitar, sampleRate: 48000 })).toThrow(
      /steel_open_E2\.wav is missing/,
    );
  });
});

describe('seeded numbers', () => {
  test('uniform and normal have their moments, and repeat', () => {
    const draw = (next: () => number, n = 20000) => Array.from({ length: n }, next);
    const mean = (x: number[]) => x.reduce((a, b) => a + b, 0) / x.length;
    const u = draw(uniform(7));
    expect(mean(u)).toBeCloseTo(0.5, 1.7);
    expect(Math.min(...u)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...u)).toBeLessThan(1);
    const g = draw(normal(3));
    expect(mean(g)).toBeCloseTo(0, 1.3);
    expect(mean(g.map(v => v * v))).toBeCloseTo(1, 1);
    expect(draw(uniform(7), 5)).toEqual(u.slice(0, 5));
  });
});

// where most players rest the hand, over the last pickup but the bridge's: common practice, no source
test('a pluck that nobody placed is a fifth of the shortest scale from the saddle', () => {
  expect(usualPluck(0.648)).toBeCloseTo(0.1296, 12);
  expect(usualPluck(0.66, 0.61)).toBeCloseTo(0.122, 12);
});
