/** What a listening test lets be heard, by ear: spectrum and loudness of every stage against the build it should be. */
import { describe, expect, test } from 'vitest';
import type { Letter, PreferenceRecord } from '../../shared/document/sheet.ts';
import { writeLink } from '../../src/files/link.ts';
import { Ears, threeBuilds } from './ears.ts';
import { visits } from './harness/browser.ts';
import { Dock } from './harness/dock.ts';
import { keptSheet } from './harness/kept.ts';
import { ListeningTests } from './harness/listening-tests.ts';

const { visit } = visits();

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
      await tests.letResultGo();
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
