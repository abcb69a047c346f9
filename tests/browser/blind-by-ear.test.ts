/**
 * What a listening test lets be heard, by ear. A loop is periodic and everything behind it linear, so one period of the
 * sound at the device, wherever it is cut, has the magnitudes of the loop in the model's own rendering: build, loudness
 * and level match are told apart to a tenth of a decibel, whatever the page says of itself.
 */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import manifestJson from '../../samples/manifest.json' with { type: 'json' };
import { LOOP_FADE_SECONDS, loopRegion } from '../../shared/audio/loop.ts';
import { renderOffline } from '../../shared/audio/offline.ts';
import { packKernels } from '../../shared/audio/partition.ts';
import { copyBuild, editBuild } from '../../shared/document/edits/builds.ts';
import { settle } from '../../shared/document/edits/settle.ts';
import type { Letter, PreferenceRecord, Sheet } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { kernels } from '../../shared/response/kernel.ts';
import { heardLoudness, TARGET_LEVEL } from '../../shared/response/level-match.ts';
import { parseManifest } from '../../shared/take/manifest.ts';
import { renderTake } from '../../shared/take/render.ts';
import { writeLink } from '../../src/files/link.ts';
import { visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';
import { keptSheet } from './harness/kept.ts';
import { ListeningTests } from './harness/listening-tests.ts';
import { heardSamples, rateHeard } from './hearing.ts';

const { visit } = visits();
const TAKE = 'modelled-long-note';
const LOOP = { from: 0.8, to: 1.2 };
const VOLUME = -12;
/** Loudness that every build in a listening test is brought to, LUFS before the volume control. */
/** Seconds of sound after a switch until only the new build is in a period of the loop: fade, limiter and kernels. */
const SETTLE = 0.35;

/** Two coils at the neck, one at the bridge, and that one on a volume control turned down. */
function threeBuilds(levelMatch: boolean): Sheet {
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
  for (let k = Math.ceil((60 * length) / sampleRate); k <= (8000 * length) / sampleRate; k++) {
    const step = (2 * Math.PI * k) / length;
    let re = 0;
    let im = 0;
    // Goertzel's recursion would lose digits at low k; rotating a phasor does not
    let [c, s] = [1, 0];
    const [dc, ds] = [Math.cos(step), Math.sin(step)];
    for (let n = 0; n < length; n++) {
      re += period[n] * c;
      im -= period[n] * s;
      [c, s] = [c * dc - s * ds, s * dc + c * ds];
    }
    levels.push(10 * Math.log10((re * re + im * im) / length ** 2));
  }
  return levels;
}

interface Expected {
  /** Harmonics of the loop without any gain, dB. */
  levels: number[];
  /** Integrated loudness of the whole take, LUFS. */
  loudness: number;
}

/** What the model says of every build at a sample rate. */
function model(sheet: Sheet, sampleRate: number): Map<Letter, Expected> {
  const manifest = parseManifest(manifestJson);
  const take = manifest.takes.find(one => one.id === TAKE)!;
  const { channels } = renderTake(take, { manifest, instrument: sheet.builds[0].build.instrument, sampleRate });
  const [from, to] = [Math.round(LOOP.from * sampleRate), Math.round(LOOP.to * sampleRate)];
  const once = loopRegion(channels, from, to, Math.round(LOOP_FADE_SECONDS * sampleRate));
  const thrice = once.map(channel => {
    const rounds = new Float32Array(3 * channel.length);
    for (let i = 0; i < 3; i++) rounds.set(channel, i * channel.length);
    return rounds;
  });
  return new Map(
    sheet.builds.map(({ letter, build }) => {
      const { outputs } = kernels(build, 5, sampleRate);
      const [heard] = renderOffline(thrice, packKernels(outputs), { sampleRate, tail: 0 })!;
      const levels = harmonics(heard.subarray(2 * (to - from)), sampleRate);
      const whole = renderOffline(channels, packKernels(outputs), { sampleRate })!;
      return [letter, { levels, loudness: heardLoudness(whole, sampleRate) }];
    }),
  );
}

/** What is heard at this moment: which build, and by how many dB it is raised over the model's plain rendering. */
interface Ear {
  build: Letter;
  gain: number;
}

class Ears {
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
    return new Ears(page, rate, model(sheet, rate));
  }

  /** Gain, dB, with which a build of the sheet has the target loudness, volume control included. */
  matched(letter: Letter): number {
    return TARGET_LEVEL - this.expected.get(letter)!.loudness + VOLUME;
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

for (const levelMatch of [true, false]) {
  const how = levelMatch ? 'level match on' : 'level match off';

  describe(how, () => {
    test('blind test: every button plays its build, X what it is said to have been, all equally loud', async () => {
      const sheet = threeBuilds(levelMatch);
      const page = await visit(writeLink({ ...sheet, test: { builds: ['C', 'B'], trials: 5 } }));
      const dock = new Dock(page);
      const tests = new ListeningTests(page);
      await dock.play();
      const ears = await Ears.of(page, sheet);
      await tests.open('blind');
      await tests.start();
      const places: Letter[] = ['C', 'B'];
      const fair = async (): Promise<Letter> => {
        const { build, gain } = await ears.listen();
        expect(gain - ears.matched(build), `loudness of ${build}`).toBeCloseTo(0, 1);
        return build;
      };
      const heardX: Letter[] = [];
      for (let i = 0; i < 5; i++) {
        await tests.atTrial('blind', i + 1, 5);
        // a trial opens with the first build, which the ear does not take from its button
        if (i === 1) expect(await fair()).toBe('C');
        await tests.hear('x');
        heardX.push(await fair());
        if (i === 0)
          for (const place of [1, 0] as const) {
            await tests.hear(place);
            expect(await fair()).toBe(places[place]);
            expect(await tests.whoIs(place)).toMatch(new RegExp(`^${places[place]}`));
          }
        await tests.answer(places.indexOf(heardX[i]) as 0 | 1);
      }
      // an ear that hears all answers all rightly
      expect((await tests.result()).map(row => row.slice(1, 3))).toEqual(heardX.map(x => [x, x]));
      // and the page's own choice is heard again: without a match every build has the gain of the reference, A
      await tests.close();
      for (const letter of ['A', 'C', 'B'] as const) {
        if (letter === 'A') expect(await dock.heard()).toBe('A');
        else await dock.hear(letter);
        const { build, gain } = await ears.listen();
        expect(build).toBe(letter);
        expect(gain - ears.matched(levelMatch ? letter : 'A'), letter).toBeCloseTo(0, 1);
      }
    });

    test('preference run: both of every pair are heard as offered, equally loud, and counted as chosen', async () => {
      const sheet = threeBuilds(levelMatch);
      const page = await visit(writeLink(sheet));
      const dock = new Dock(page);
      const tests = new ListeningTests(page);
      await dock.play();
      const ears = await Ears.of(page, sheet);
      await tests.open('preference');
      await tests.setRounds(1);
      await tests.start();
      const liking: Letter[] = ['C', 'A', 'B'];
      const offered: string[] = [];
      for (let i = 0; i < 3; i++) {
        await tests.atTrial('preference', i + 1, 3);
        const pair: Letter[] = [];
        for (const place of [0, 1] as const) {
          await tests.hear(place);
          const { build, gain } = await ears.listen();
          expect(gain - ears.matched(build), `loudness of ${build}`).toBeCloseTo(0, 1);
          pair[place] = build;
        }
        offered.push([...pair].sort().join(''));
        await tests.answer(liking.indexOf(pair[0]) < liking.indexOf(pair[1]) ? 0 : 1);
      }
      expect(offered.sort()).toEqual(['AB', 'AC', 'BC']);
      expect((await tests.result()).map(([, build, chosen]) => [build[0], chosen])).toEqual([
        ['C', '2 of 2'],
        ['A', '1 of 2'],
        ['B', '0 of 2'],
      ]);
      await tests.keep();
      await tests.close();
      await expect.poll(async () => (await keptSheet(page))?.runs?.length).toBe(1);
      const [run] = (await keptSheet(page))!.runs as PreferenceRecord[];
      const letters = run.builds.map(one => one.letter);
      expect(run.choices.map(({ chosen, over }) => letters[chosen] + letters[over]).sort()).toEqual(['AB', 'CA', 'CB']);
    });
  });
}
