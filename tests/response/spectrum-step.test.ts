/** How far apart two builds lie as an ear analyses them, and what the page says of it. */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../shared/document/build.ts';
import { withValueAt } from '../../shared/document/pointer.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { auditoryBand, BAND_STEP, LEVEL_STEP, reaches } from '../../shared/response/noticeable.ts';
import { response } from '../../shared/response/response.ts';
import { spectrumStep } from '../../shared/response/spectrum-step.ts';

const [neck, bridge] = demoBuilds();
const moved = (build: Build, by: number): Build =>
  withValueAt(build, '/pickups/0/position', build.pickups[0].position + by) as Build;

/** Power through a rounded exponential filter (Patterson and others, JASA 72, 1982) around `centre`, hertz by hertz. */
function bandPower(build: Build, string: number, centre: number): number {
  const p = (4 * centre) / auditoryBand(centre);
  const lowest = Math.ceil(build.instrument.strings[string].pitch);
  const f = Float64Array.from({ length: 11_300 - lowest }, (_, i) => lowest + i);
  const { re, im } = response(build, string, 5, f);
  return f.reduce((sum, x, i) => {
    const g = (p * Math.abs(x - centre)) / centre;
    return sum + ((1 + g) * Math.exp(-g) * (re[i] ** 2 + im[i] ** 2)) / x ** 2;
  }, 0);
}

/** Mean over the strings of plucked power above each open string. */
const pluckPower = (build: Build): number =>
  build.instrument.strings.reduce((mean, { pitch }, s) => {
    const f = Float64Array.from({ length: Math.floor(11_313 - pitch) }, (_, i) => pitch + 0.5 + i);
    const { re, im } = response(build, s, 5, f);
    const weight = f.reduce((sum, x) => sum + x ** -2, 0);
    return mean + f.reduce((sum, x, i) => sum + (re[i] ** 2 + im[i] ** 2) / x ** 2, 0) / weight;
  }, 0);

describe('spectrum step', () => {
  test('bands are as wide as published', () => {
    // 132.6 Hz at 1 kHz (Glasberg and Moore, Hearing Research 47, 1990)
    expect(auditoryBand(1000)).toBeCloseTo(132.64, 1);
  });

  test.each([
    ['bridge', moved(bridge, 0.005), bridge],
    ['neck', moved(neck, 0.008), neck],
    ['cable', withValueAt(bridge, '/outputs/0/chain/0/length', 3) as Build, bridge],
  ])('%s: what it states is what the curve has in that band at equal loudness', (_, after, before) => {
    const { step, at, string } = spectrumStep(before, after, 5)!;
    const s = after.instrument.strings.findIndex(({ name }) => name === string);
    const direct = (bandPower(after, s, at) / bandPower(before, s, at) / pluckPower(after)) * pluckPower(before);
    expect(step).toBeCloseTo(10 * Math.log10(direct), 0);
    expect(Math.abs(step - 10 * Math.log10(direct))).toBeLessThan(0.15);
  });

  test('a bridge pickup moved by 5 mm is heard, one moved by a tenth is not', () => {
    expect(Math.abs(spectrumStep(bridge, moved(bridge, 0.005), 5)!.step)).toBeGreaterThan(3 * BAND_STEP);
    expect(reaches(spectrumStep(bridge, moved(bridge, 0.0001), 5)!.step, BAND_STEP)).toBe(false);
  });

  test('level alone is no step in tone, and another instrument has no step', () => {
    const hotter = withValueAt(bridge, '/pickups/0/coils/0/sensitivity', 0.3) as Build;
    expect(Math.abs(spectrumStep(bridge, hotter, 5)!.step)).toBeLessThan(1e-9);
    const strings = bridge.instrument.strings.map(one => ({ ...one, name: `${one.name}x` }));
    expect(spectrumStep(bridge, { ...bridge, instrument: { ...bridge.instrument, strings } }, 5)).toBeNull();
  });

  test('what reads as the limit is not below it', () => {
    expect(reaches(0.38, LEVEL_STEP)).toBe(true);
    expect(reaches(-0.41, LEVEL_STEP)).toBe(true);
    expect(reaches(0.34, LEVEL_STEP)).toBe(false);
    expect(reaches(0.96, BAND_STEP)).toBe(true);
  });
});
