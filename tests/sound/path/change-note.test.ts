/** What the page says a change did. */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../../shared/document/build.ts';
import { withValueAt } from '../../../shared/document/pointer.ts';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { causeOf, changedValues, describeChange } from '../../../src/sound/path/change-note.ts';
import type { Looked } from '../../../src/sound/path/station-figures.ts';

const [, single] = demoBuilds();
const look = (build: Build): Looked => ({ build, string: 5, fret: 0, point: 5, pickup: 'bridge', units: 'mm' });
const change = (pointer: string, value: unknown, step = 'change it') =>
  describeChange(look(single), look(withValueAt(single, pointer, value)), step);

/**
 * Peak of a coil with one eddy loop, EMF and impedance both over 1 + jωL/R_e, into C and R_L: Hz, and dB over low
 * frequencies, by trying every hertz.
 */
function peak(r: number, l: number, loss: number, c: number, load: number): { frequency: number; height: number } {
  let best = { frequency: 0, height: Number.NEGATIVE_INFINITY };
  const low = load / (r + load);
  for (let f = 1000; f < 8000; f++) {
    const w = 2 * Math.PI * f;
    // V = E/(1 + jωL/R_e) / (1 + (R + jωL/(1 + jωL/R_e)) Y), Y = 1/R_L + jωC, times 1 + jωL/R_e above and below
    const y = [1 / load, w * c];
    const series = [r, w * l * (1 + r / loss)];
    const re = 1 + series[0] * y[0] - series[1] * y[1];
    const im = (w * l) / loss + series[0] * y[1] + series[1] * y[0];
    const height = -20 * Math.log10(Math.hypot(re, im) * low);
    if (height > best.height) best = { frequency: f, height };
  }
  return best;
}

describe('what a change did', () => {
  test('finds the one value that differs', () => {
    const after = withValueAt(single, '/outputs/0/chain/0/length', 3);
    expect(changedValues(single, after)).toEqual(['/outputs/0/chain/0/length']);
    expect(changedValues(single, { ...single, pickups: [] })).toBeNull();
  });

  test('a shorter cable: cause, resonance, peak, and that it is heard', () => {
    const { did, heard } = change('/outputs/0/chain/0/length', 3);
    const found = /^3 m instead of 5 m: resonance ([\d.]+) → ([\d.]+) kHz, peak \+([\d.]+) → \+([\d.]+) dB, level/.exec(
      did,
    );
    expect(found, did).not.toBeNull();
    // 6 kΩ and 2.5 H into 100 pF with the cable's, two pots of 250 kΩ and 1 MΩ (the tone capacitor is a short there)
    // and the rods' loss of 1.3 MΩ
    const load = 1 / (2 / 250e3 + 1 / 1e6);
    const [before, after] = [600e-12, 400e-12].map(c => peak(6000, 2.5, 1.3e6, c, load));
    const [f1, f2, h1, h2] = found!.slice(1).map(Number);
    expect(Math.abs((f1 * 1000) / before.frequency - 1)).toBeLessThan(0.005);
    expect(Math.abs((f2 * 1000) / after.frequency - 1)).toBeLessThan(0.005);
    expect(Math.abs(h1 - before.height)).toBeLessThan(0.3);
    expect(Math.abs(h2 - after.height)).toBeLessThan(0.3);
    // 0.079 F/√Q with Q 1.6 or so is 0.25 kHz (Gagné and Zurek, JASA 83, 1988); the shift is 0.6 kHz
    expect(heard).toMatch(/about (twice|3 times) what listeners/);
  });

  test('a small step of the cable is said to be hardly heard', () => {
    expect(change('/outputs/0/chain/0/length', 5.2).heard).toMatch(/hardly heard/);
  });

  test('a moved pickup speaks of the first dip of the string, and of the octaves', () => {
    const { did } = change('/pickups/0/position', 0.05);
    // v/(2 d) of the open low E without stiffness: 106.8/(2 · 0.038) = 1405 Hz, 106.8/(2 · 0.05) = 1068 Hz; stiffness adds 1 %
    expect(did).toMatch(
      /^50 mm instead of 38 mm: level \+.*first dip 1\.4\d kHz, complete → 1\.0[78] kHz, complete\.$/,
    );
  });

  test('a change that moves nothing says so, one that moves little says by how little, and neither claims hearing', () => {
    expect(change('/name', 'Other', 'rename the build')).toEqual({
      did: 'Rename the build: the sound stays as it was.',
      heard: '',
    });
    expect(change('/outputs/0/chain/0/length', 5.0005)).toEqual({
      // not “5 m instead of 5 m”
      did: 'Change it: the response moves by less than 0.05 dB from 20 Hz to 10 kHz at test point 5, string E2.',
      heard: '',
    });
  });

  test('aperture, window, height and sensitivity are changes that are seen', () => {
    const coil = '/pickups/0/coils/0';
    expect(change(`${coil}/window/depth`, 0.006).did).toMatch(/aperture corner ≈ [\d.]+ → ≈ [\d.]+ kHz/);
    expect(change(`${coil}/sensitivity`, 0.3).did).toMatch(/level \+/);
    expect(change('/pickups/0/height/bass', 0.004).did).toMatch(/level ≈ −/);
    // what hangs on gaps is marked as the model's, what does not is not
    expect(change('/pickups/0/position', 0.06).did).toMatch(/level \+/);
    expect(change('/pickups/0/position', 0.06).did).not.toContain('level ≈');
    expect(change(`${coil}/window`, { shape: 'rectangle', width: 0.06, depth: 0.0035 }).did).toMatch(/dip/);
  });

  test('at a test point that a change does not reach it says so', () => {
    const at3 = (build: Build): Looked => ({ ...look(build), point: 3 });
    const longer = withValueAt(single, '/outputs/0/chain/0/length', 10);
    expect(describeChange(at3(single), at3(longer), 'x').did).toBe('10 m instead of 5 m: the sound stays as it was.');
  });

  test('a turned control and a chosen position are named', () => {
    const [double] = demoBuilds();
    expect(causeOf(single, withValueAt(single, '/harness/controls/0/volume/setting', 0.5), 'turn', 'mm')).toBe(
      'Volume 5 instead of 10',
    );
    expect(causeOf(double, withValueAt(double, '/harness/selected', 2), 'choose', 'mm')).toContain('neck-side coil');
  });

  test('coils out of phase, hum that comes and goes, and silence are said', () => {
    const [double] = demoBuilds();
    const at = '/harness/positions/0/taps/0';
    const turn = (before: Build, pointer: string, value: unknown) =>
      describeChange(look(before), look(withValueAt(before, pointer, value)), 'rewire').did;
    expect(double.pickups[0].coils).toHaveLength(2);
    expect(turn(double, `${at}/antiphase`, true)).toMatch(/coils now work against each other.*hum no longer cancels/);
    expect(turn(withValueAt(double, `${at}/antiphase`, true), `${at}/antiphase`, false)).toMatch(
      /coils add again.*hum cancels/,
    );
    expect(turn(double, '/harness/positions/0/taps', [])).toMatch(/nothing reaches the input any more/);
    // what is shorted is not hum that cancels
    const short = {
      id: 'short',
      kind: 'resistor',
      value: 1e-3,
      from: { at: 'selector', output: 'out' },
      to: { at: 'ground' },
    };
    expect(turn(double, '/harness/fixed', [short])).not.toMatch(/hum/);
  });
});
