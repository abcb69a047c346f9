/**
 * Ears that tell builds apart. A loop is periodic and everything behind it linear, so one period of the sound at the device,
 * wherever it is cut, has the magnitudes of the loop in the model's own rendering: build, loudness and level match are
 * told apart to a tenth of a decibel, whatever the page says of itself.
 */
import type { Page } from 'playwright-core';
import { expect } from 'vitest';
import manifestJson from '../../samples/manifest.json' with { type: 'json' };
import { LOOP_FADE_SECONDS, loopRegion } from '../../shared/audio/loop.ts';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { copyBuild, editBuild } from '../../shared/document/edits/builds.ts';
import { settle } from '../../shared/document/edits/settle.ts';
import type { Letter, Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { parseManifest } from '../../shared/take/manifest.ts';
import { renderTake } from '../../shared/take/render.ts';
import { harmonicPower, heardSamples, rateHeard, SETTLE } from './hearing.ts';

const TAKE = 'modelled-long-note';
const LOOP = { from: 0.8, to: 1.2 };
const VOLUME = -12;
/** Loudness that every build is brought to when they are matched, LUFS before the volume control. */
const TARGET = -14;

/** Two coils at the neck, one at the bridge, and that one on a volume control turned down. */
export function threeBuilds(levelMatch: boolean): Sheet {
  const { sheet } = editBuild(copyBuild(demoSheet(), 'B').sheet, 'C', build =>
    settle(build, {
      ...build,
      name: 'Bridge, turned down',
      nameDerived: false,
      harness: {
        ...build.harness,
        controls: build.harness.controls.map(c => ({ ...c, volume: { ...c.volume!, setting: 0.6 } })),
      },
    }),
  );
  return { ...sheet, take: TAKE, loop: LOOP, view: { ...sheet.view, volume: VOLUME, heard: 'A', levelMatch } };
}

/** Power of each harmonic of the loop from 60 Hz to 8 kHz, dB. */
function harmonics(period: ArrayLike<number>, sampleRate: number): number[] {
  const length = period.length;
  const levels: number[] = [];
  for (let k = Math.ceil((60 * length) / sampleRate); k <= (8000 * length) / sampleRate; k++)
    levels.push(10 * Math.log10(harmonicPower(period, k)));
  return levels;
}

interface Expected {
  /** Harmonics of the loop without any gain, dB. */
  levels: number[];
  /** Integrated loudness of the whole take, LUFS. */
  loudness: number;
}

const known = new Map<string, Map<Letter, Expected>>();

/** What the model says of every build at a sample rate, computed once. */
function expectedOf({ builds }: Sheet, sampleRate: number): Map<Letter, Expected> {
  const key = JSON.stringify([builds, sampleRate]);
  let expected = known.get(key);
  if (!expected) known.set(key, (expected = model(builds, sampleRate)));
  return expected;
}

function model(builds: Sheet['builds'], sampleRate: number): Map<Letter, Expected> {
  const manifest = parseManifest(manifestJson);
  const take = manifest.takes.find(one => one.id === TAKE)!;
  const { channels } = renderTake(take, { manifest, instrument: builds[0].build.instrument, sampleRate });
  const [from, to] = [Math.round(LOOP.from * sampleRate), Math.round(LOOP.to * sampleRate)];
  const once = loopRegion(channels, from, to, Math.round(LOOP_FADE_SECONDS * sampleRate));
  const thrice = once.map(channel => {
    const rounds = new Float32Array(3 * channel.length);
    for (let i = 0; i < 3; i++) rounds.set(channel, i * channel.length);
    return rounds;
  });
  return new Map(
    builds.map(({ letter, build }) => {
      const { outputs } = kernels(build, 5, sampleRate);
      const [heard] = renderOffline(thrice, packKernels(outputs), { sampleRate, tail: 0 })!;
      const levels = harmonics(heard.subarray(2 * (to - from)), sampleRate);
      const at = (gain: number) => {
        const [whole] = renderOffline(channels, packKernels(outputs, 10 ** (gain / 20)), { sampleRate })!;
        return integratedLoudness([whole, whole], sampleRate) - gain;
      };
      // measured again as loud as it is played: the standard's absolute gate is meant for that
      return [letter, { levels, loudness: at(TARGET - at(0)) }];
    }),
  );
}

/** What is heard at this moment: which build, and by how many dB it is raised over the model's plain rendering. */
export interface Ear {
  build: Letter;
  gain: number;
}

export class Ears {
  readonly expected: Map<Letter, Expected>;
  readonly #page: Page;
  readonly #rate: number;

  private constructor(page: Page, rate: number, expected: Map<Letter, Expected>) {
    this.#page = page;
    this.#rate = rate;
    this.expected = expected;
  }

  static async of(page: Page, sheet: Sheet): Promise<Ears> {
    const rate = await rateHeard(page);
    return new Ears(page, rate, expectedOf(sheet, rate));
  }

  /** Gain, dB, with which a build of the sheet has the target loudness, volume control included. */
  matched(letter: Letter): number {
    return TARGET - this.expected.get(letter)!.loudness + VOLUME;
  }

  /** Fails unless the sound has the spectrum of exactly one build. */
  async listen(): Promise<Ear> {
    const length = Math.round(LOOP.to * this.#rate) - Math.round(LOOP.from * this.#rate);
    const heard = harmonics(await heardSamples(this.#page, length, SETTLE), this.#rate);
    const judged = [...this.expected].map(([build, { levels }]) => {
      // what is 60 dB below the strongest harmonic is the sum's own rounding
      const most = Math.max(...levels);
      const used = levels.flatMap((level, i) => (level > most - 60 ? [heard[i] - level] : []));
      const gain = used.reduce((a, b) => a + b, 0) / used.length;
      const spread = Math.sqrt(used.reduce((sum, d) => sum + (d - gain) ** 2, 0) / used.length);
      return { build, gain, spread };
    });
    const [best, next] = judged.sort((a, b) => a.spread - b.spread);
    expect(best.spread, JSON.stringify(judged)).toBeLessThan(0.05);
    expect(next.spread, JSON.stringify(judged)).toBeGreaterThan(0.3);
    return best;
  }
}
