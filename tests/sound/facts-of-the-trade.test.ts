/**
 * Ten facts of the trade (common practice, each as its test is called), read off the sentence that the page says of a
 * change and off the figures that its table prints. What the numbers should be is worked out here from the fact.
 */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { buildFigures, OCTAVES } from '../../shared/response/figures.ts';
import { figureValue, figureValues, type Quantity } from '../../shared/response/quantities.ts';
import { makePickup } from '../../shared/sensor/typical.ts';
import { figuresText } from '../../src/cli/cli-figures.ts';
import { describeChange } from '../../src/sound/path/change-note.ts';

const [double, single] = demoBuilds();
/** The low E of six strings. */
const STRING = 5;

const changed = (build: Build, change: (copy: Build) => void): Build => {
  const copy = structuredClone(build);
  change(copy);
  return copy;
};
const selected = (build: Build, position: number) => changed(build, copy => void (copy.harness.selected = position));
const look = (build: Build) =>
  ({ build, string: STRING, fret: 0, point: 5, pickup: build.pickups[0].id, units: 'mm', matched: false }) as const;
/** What the page says of a step from one build to another. */
const said = (before: Build, after: Build) => describeChange(look(before), look(after), 'the step');

/** Figures as the table has them. */
const figures = (build: Build) => buildFigures(build, { string: STRING, point: 5 }).figures;
const value = (build: Build, quantity: Quantity) => figureValue(figures(build), quantity)!;
const octaves = (build: Build) => figureValues(figures(build), 'octave').map(x => x!);
const octaveAt = (build: Build, hertz: (typeof OCTAVES)[number]) => octaves(build)[OCTAVES.indexOf(hertz)];

/** Hertz of a pair `a → b` in a sentence; the first may leave the unit to the second. */
function pair(sentence: string, what: string): [number, number] {
  const found = new RegExp(`${what} (?:≈ )?([\\d.]+)( k?Hz)?(?:, [^→]*)? → (?:≈ )?([\\d.]+) (k?Hz)`).exec(sentence);
  if (!found) throw new Error(`no “${what} … → …” in “${sentence}”`);
  const size = (unit: string) => (unit.trim() === 'kHz' ? 1000 : 1);
  return [Number(found[1]) * size(found[2] ?? found[4]), Number(found[3]) * size(found[4])];
}
/** Decibels that a sentence gives after a word. */
const decibels = (sentence: string, what: string): number => {
  const found = new RegExp(`(?:${what}) (?:≈ )?([+−])?([\\d.]+) dB`).exec(sentence);
  if (!found) throw new Error(`no “${what} … dB” in “${sentence}”`);
  return Number(found[2]) * (found[1] === '−' ? -1 : 1);
};

/** Neck and bridge of one kind, with every combination in the selector. */
const two = changed(single, copy => {
  const [bridge] = copy.harness.positions[0].taps;
  copy.pickups.unshift(makePickup('single-rods', copy.instrument, { id: 'neck', name: 'Neck', position: 0.162 }));
  const neck = { ...bridge, pickup: 'neck' };
  copy.harness.positions = [
    { label: 'neck', join: 'parallel', taps: [neck] },
    { label: 'both', join: 'parallel', taps: [neck, bridge] },
    { label: 'bridge', join: 'parallel', taps: [bridge] },
    { label: 'both, out of phase', join: 'parallel', taps: [{ ...neck, reverse: true }, bridge] },
  ];
});
const NECK = 0;
const BOTH = 1;
const BRIDGE = 2;
const OUT_OF_PHASE = 3;

const at = (position: number) => changed(single, copy => void (copy.pickups[0].position = position));
const volume = (setting: number) => changed(single, copy => void (copy.harness.controls[0].volume!.setting = setting));
const tone = (setting: number) => changed(single, copy => void (copy.harness.controls[0].tone!.setting = setting));
const pots = (ohms: number) =>
  changed(single, copy => {
    copy.harness.controls[0].volume!.value = ohms;
    copy.harness.controls[0].tone!.value = ohms;
  });
const cable = (metres: number) =>
  changed(single, copy => {
    const [stage] = copy.outputs[0].chain;
    if (stage.kind === 'cable') stage.length = metres;
  });

describe('ten facts of the trade, by sentence and figure', () => {
  test('5 mm move a bridge pickup’s dips four times as far as a neck pickup’s', () => {
    const [bridge, neck] = [0.038, 0.162].map(x => pair(said(at(x), at(x + 0.005)).did, 'first dip'));
    // nodes go as 1/x
    expect(bridge[1] / bridge[0]).toBeCloseTo(38 / 43, 2);
    expect(neck[1] / neck[0]).toBeCloseTo(162 / 167, 2);
    expect((1 - bridge[1] / bridge[0]) / (1 - neck[1] / neck[0])).toBeGreaterThan(3.4);
    // and the tone with them
    const step = (x: number) => Math.max(...octaves(at(x + 0.005)).map((o, i) => Math.abs(o - octaves(at(x))[i])));
    expect(step(0.038)).toBeGreaterThan(3 * step(0.162));
  });

  test('coils in parallel instead of in series are brighter and quieter', () => {
    const parallel = selected(double, 1);
    const { did, heard } = said(double, parallel);
    const [before, after] = pair(did, 'resonance');
    // a quarter of the inductance into the same cable, less the coils’ own capacitance: up to twice as high
    expect(after / before).toBeGreaterThan(1.5);
    expect(after / before).toBeLessThan(2);
    const level = decibels(did, 'level');
    expect(level).toBeLessThan(-4);
    expect(level).toBeGreaterThan(-7);
    expect(decibels(did, 'and at 8 kHz|octave at 8 kHz')).toBeGreaterThan(6);
    expect(heard).toMatch(/^The resonance moves about \d+ times what listeners/);
    expect(level).toBeCloseTo(value(parallel, 'level') - value(double, 'level'), 1);
  });

  test('volume at half takes the presence away', () => {
    const half = volume(0.5);
    const { did, heard } = said(single, half);
    expect(did).toMatch(/^Volume 5 instead of 10: the resonance at [\d.]+ kHz is gone, level −\d/);
    expect(decibels(did, 'octave at 4 kHz')).toBeLessThan(-2);
    expect(heard).toMatch(/match levels/);
    for (const hertz of [1000, 2000, 4000] as const)
      expect(octaveAt(half, hertz)).toBeLessThan(octaveAt(single, hertz));
  });

  test('a long cable is darker and lowers the resonance', () => {
    const { did, heard } = said(single, cable(15));
    const [before, after] = pair(did, 'resonance');
    // √ of the capacitances: cable, coil and their sum, 0.6 to 1.6 nF
    expect(after / before).toBeCloseTo(Math.sqrt(0.6 / 1.6), 1);
    expect(decibels(did, 'octave at 8 kHz|and at 8 kHz')).toBeLessThan(-5);
    expect(heard).toMatch(/^The resonance moves about \d+ times/);
  });

  test('tone at zero leaves a resonance of coil and tone capacitor, and dark treble', () => {
    const { did } = said(single, tone(0));
    const [, low] = pair(did, 'resonance');
    // 2.5 H with 22 nF and 0.6 nF
    expect(low / (1 / (2 * Math.PI * Math.sqrt(2.5 * 22.6e-9)))).toBeCloseTo(1, 0.7);
    expect(decibels(did, 'octave at 8 kHz|and at 8 kHz')).toBeLessThan(-25);
    const dull = octaves(tone(0));
    for (const i of [1, 2, 3]) expect(dull[i]).toBeLessThan(octaves(single)[i] - 15);
  });

  test('coils farther apart have a lower aperture corner', () => {
    const spread = (times: number) =>
      changed(double, copy => {
        for (const coil of copy.pickups[0].coils) coil.along *= times;
      });
    const [before, after] = pair(said(double, spread(1.4)).did, 'aperture corner');
    // two points a distance apart fall 3 dB where it is a quarter of a wave, times their own windows
    expect(after / before).toBeGreaterThan(1 / 1.4 - 0.02);
    expect(after / before).toBeLessThan(1 / 1.4 + 0.08);
    expect(octaveAt(spread(1.4), 8000)).toBeLessThan(octaveAt(double, 8000));
  });

  test('poles that stand closer than the strings lose the outer strings', () => {
    const narrow = changed(single, copy => void (copy.pickups[0].poles.spread -= 0.008));
    const { did } = said(single, narrow);
    expect(decibels(did, 'level')).toBeLessThan(-1);
    // a figure of the field model, marked as one
    expect(did).toMatch(/level ≈ −/);
    expect(said(single, pots(500e3)).did).not.toContain('≈');
    const levels = figuresText(narrow, 0, 0, 5000)
      .split('coil,string,name')[1]
      .split('\n')
      .slice(1, 7)
      .map(line => line.split(','));
    const beside = levels.map(cells => Math.abs(Number(cells[5])));
    const level = levels.map(cells => Number(cells[6]));
    // a miss of 4 mm outside, 0.8 mm inside, less what the strings converge by
    expect(beside[0]).toBeGreaterThan(3 * beside[2]);
    expect(level[0]).toBeLessThan(level[2] - 6);
    expect(level[5]).toBeLessThan(level[3] - 6);
  });

  test('both pickups in the middle position: between the two in tone, higher resonance, dips of their own, hum can cancel', () => {
    const { did } = said(selected(two, NECK), selected(two, BOTH));
    const [before, after] = pair(did, 'resonance');
    // half the inductance; the coils’ own capacitance doubles, the cable’s stays
    expect(after / before / Math.sqrt((2 * 0.6) / 0.7)).toBeGreaterThan(0.93);
    expect(after / before / Math.sqrt((2 * 0.6) / 0.7)).toBeLessThan(1.1);
    expect(decibels(did, 'level')).toBeLessThan(0);
    const [neck, both] = pair(did, 'first dip');
    // between two pickups the first node lies at their mean distance: 100 mm in place of 162 mm
    expect(both / neck).toBeGreaterThan(1.2);
    const [n, m, b] = [NECK, BOTH, BRIDGE].map(position => octaveAt(selected(two, position), 2000));
    expect(m).toBeLessThan(b);
    expect(Math.abs(m - n)).toBeLessThan(Math.abs(m - b));
    const reversed = changed(selected(two, BRIDGE), copy => {
      // wound and magnetised the other way round: the strings stay in phase
      for (const coil of copy.pickups[0].coils) Object.assign(coil, { winding: -1, polarity: -1 });
    });
    expect(said(reversed, selected(reversed, BOTH)).did).toContain('hum cancels');
    expect(said(selected(two, BRIDGE), selected(two, BOTH)).did).not.toContain('hum cancels');
  });

  test('out of phase: thin and quiet', () => {
    const { did, heard } = said(selected(two, BOTH), selected(two, OUT_OF_PHASE));
    expect(did).toContain('coils now work against each other');
    expect(decibels(did, 'level')).toBeLessThan(-2);
    expect(
      octaves(selected(two, OUT_OF_PHASE))
        .slice(0, 3)
        .every((o, i) => o > octaves(selected(two, BOTH))[i]),
    ).toBe(true);
    expect(heard).not.toBe('');
    expect(said(selected(two, OUT_OF_PHASE), selected(two, BOTH)).did).toContain('coils add again');
  });

  test('500 kΩ instead of 250 kΩ: a higher peak, brighter', () => {
    const { did } = said(pots(250e3), pots(500e3));
    const rise = value(pots(500e3), 'peak') - value(pots(250e3), 'peak');
    expect(did).toMatch(/peak \+[\d.]+ → \+[\d.]+ dB/);
    // loads of 500 and 250 kΩ with the input’s 1 MΩ: Q nearly doubles, the coil’s own losses take the rest
    expect(rise).toBeGreaterThan(2.5);
    expect(rise).toBeLessThan(6);
    expect(decibels(did, 'octave at 4 kHz')).toBeGreaterThan(1);
    const [before, after] = pair(did, 'resonance');
    expect(after).toBeGreaterThan(before);
  });
});

describe('octaves against 250 Hz go where the sound goes', () => {
  const falling = (list: readonly number[]) => list.every((x, i) => i === 0 || x < list[i - 1]);
  const over = (builds: readonly Build[], hertz: (typeof OCTAVES)[number]) =>
    builds.map(build => octaveAt(build, hertz));

  test('tone turned down: 2, 4 and 8 kHz fall all the way', () => {
    const steps = [1, 0.9, 0.7, 0.5, 0.3, 0.1, 0].map(tone);
    for (const hertz of [2000, 4000, 8000] as const) expect(falling(over(steps, hertz))).toBe(true);
  });
  test('longer cable: 8 kHz falls with every metre, 2 kHz rises as the resonance comes down to it', () => {
    const steps = [0.5, 1, 2, 3, 5, 8, 12, 20].map(cable);
    expect(falling(over(steps, 8000))).toBe(true);
    expect(falling(over(steps, 2000).toReversed())).toBe(true);
  });
  test('larger pots: 2, 4 and 8 kHz rise', () => {
    const steps = [1e6, 500e3, 250e3, 100e3, 50e3].map(pots);
    for (const hertz of [2000, 4000, 8000] as const) expect(falling(over(steps, hertz))).toBe(true);
  });
  /**
   * The pot’s source resistance dulls: worst where the wiper stands at half its resistance, 9 on an audio taper, and less
   * below, where the cable no longer loads the coil. Above 6 kHz what is lost at the resonance comes back.
   */
  test('volume turned down: 1, 2 and 4 kHz lie below full at every setting, most at half of the resistance', () => {
    const steps = [0.9, 0.7, 0.5, 0.3].map(volume);
    for (const hertz of [1000, 2000, 4000] as const)
      for (const level of over(steps, hertz)) expect(level).toBeLessThan(octaveAt(single, hertz));
    expect(falling(over(steps, 4000).toReversed())).toBe(true);
  });
  test('series is darker than parallel, two coils side by side darker than one of them', () => {
    for (const hertz of [4000, 8000] as const) {
      const [series, parallel, one] = [0, 1, 2].map(position => octaveAt(selected(double, position), hertz));
      expect(series).toBeLessThan(parallel - 3);
      expect(series).toBeLessThan(one - 3);
    }
  });
});
