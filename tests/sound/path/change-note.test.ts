/** What the page says a change did. */
import { describe, expect, test } from 'vitest';
import type { Build } from '../../../shared/document/build.ts';
import { asKind } from '../../../shared/document/edits/coils.ts';
import { withValueAt } from '../../../shared/document/pointer.ts';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { STRING_SETS } from '../../../shared/string/sets.ts';
import { frequencyOf, stringModel } from '../../../shared/string/stiff.ts';
import { stringRows } from '../../../src/paper/sheet-tables.ts';
import { causeOf, changedValues, describeChange, onlyOrigins } from '../../../src/sound/path/change-note.ts';
import { type Looked, stationFigures } from '../../../src/sound/path/station-figures.ts';
import { words } from '../../../src/words/path-words.ts';

const [, single] = demoBuilds();
const look = (build: Build): Looked => ({
  build,
  string: 5,
  fret: 0,
  point: 5,
  pickup: 'bridge',
  units: 'mm',
  matched: true,
});
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

  test('what listeners would say is judged by the whole spectrum, dips included, and by the level that they hear', () => {
    const { did, heard } = change('/pickups/0/position', 0.043);
    expect(did).toContain('level +0.3 dB');
    expect(heard).toMatch(/spectrum of \w+ moves by [+−]\d+\.\d dB .*sound different/);
    expect(heard).not.toMatch(/level/);
    const hotter = withValueAt(single, '/pickups/0/coils/0/sensitivity', 0.3);
    expect(describeChange(look(single), look(hotter), 'x').heard).toBe(
      'At equal loudness the tone stays as it was. The step in level is taken out by Level match.',
    );
    const unmatched = (build: Build): Looked => ({ ...look(build), matched: false });
    expect(describeChange(unmatched(single), unmatched(hotter), 'x').heard).toMatch(/match levels before you judge/);
  });

  test('no figure is said to change into itself', () => {
    // 0.25 mm is below what three figures of the dip show on this string, were it looked at by its exact frequency alone
    for (let mm = 38.02; mm < 38.4; mm += 0.02)
      for (const [, from, to] of change('/pickups/0/position', mm / 1000).did.matchAll(
        /(?:dip|resonance) (.+?) → (.+?)[,.]/g,
      ))
        expect(from).not.toBe(to.replace(/ k?Hz$/, ''));
    const { did } = change('/pickups/0/position', 0.03809);
    expect(did).not.toMatch(/1\.43 kHz, complete → 1\.43 kHz, complete/);
  });

  test('another instrument is compared by strings of the same name, and not where it has none', () => {
    const set = (id: string) => STRING_SETS.find(one => one.id === id)!.instrument;
    const bass = STRING_SETS.find(one => one.family === 'bass')!.instrument;
    const on = (instrument: Build['instrument'], string: number): Looked => ({
      ...look({ ...single, instrument }),
      string,
    });
    const { did, heard } = describeChange(look(single), on(bass, bass.strings.length - 1), 'choose instrument');
    expect(did).toContain('strings G2, D2, A1, E1 in place of E4, B3, G3, D3, A2, E2');
    expect(did).not.toMatch(/ dip |level [+−]|octave/);
    expect(heard).toBe('');
    const baritone = STRING_SETS.find(one => /^Baritone/.test(one.name))!;
    expect(describeChange(look(single), on(set(baritone.id), 5), 'choose instrument').did).toContain(
      'string B1 in place of E2',
    );
  });

  test('a value entered as it was is told from a change', () => {
    const entered = withValueAt(single, '/pickups/0/coils/0/origin', 'entered');
    expect(onlyOrigins(single, entered)).toBe(true);
    expect(onlyOrigins(single, withValueAt(entered, '/pickups/0/coils/0/resistance', 6100))).toBe(false);
    expect(onlyOrigins(single, { ...single, pickups: [] })).toBe(false);
  });

  test('coils are called by what they are', () => {
    expect(['neck-side', 'coil', 'coil-2', 'low'].map(words.coil)).toEqual([
      'neck-side coil',
      'coil 1',
      'coil 2',
      'coil low',
    ]);
  });

  test('a pickup that is not connected is said not to be', () => {
    const [double] = demoBuilds();
    const spare = { ...double.pickups[0], id: 'spare', name: 'Spare' };
    const two: Build = { ...double, pickups: [...double.pickups, spare] };
    const { did, heard } = describeChange(look(two), look(withValueAt(two, '/pickups/1/position', 0.08)), 'move it');
    expect(did).toBe(
      '80 mm instead of 162 mm: Spare, not connected at selector position 1; the sound stays as it was.',
    );
    expect(heard).toBe('');
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
    expect(change('/pickups/0/slant', 0.15).did).toMatch(/level ≈ |response moves|octave/);
    expect(change('/pickups/0/slant', 0.15).did).not.toMatch(/level [+−]/);
    // a farther place runs the strings off their poles
    expect(change('/pickups/0/position', 0.2).did).toMatch(/level ≈ /);
    expect(change(`${coil}/window`, { shape: 'rectangle', width: 0.06, depth: 0.0035 }).did).toMatch(/dip/);
  });

  test('dips and octaves of pickups with unlike fields are marked as the model’s', () => {
    const [double] = demoBuilds();
    const [pickup] = double.pickups;
    const spare = { ...pickup, id: 'spare', name: 'Spare', position: 0.07, height: { bass: 0.004, treble: 0.004 } };
    const [position] = double.harness.positions;
    const taps = [...position.taps, { ...position.taps[0], pickup: 'spare' }];
    const both: Build = {
      ...double,
      pickups: [pickup, spare],
      harness: { ...double.harness, selected: 0, positions: [{ ...position, taps }, position] },
    };
    const alone = { ...both, harness: { ...both.harness, selected: 1 } };
    const { did } = describeChange(look(alone), look(both), 'choose');
    expect(did).toMatch(/octave at \d kHz ≈ /);
    expect(did).toMatch(/dip .*≈ \d|dip appears at ≈/);
    expect(stringRows(both, 'mm').every(row => /^≈|^none/.test(row[4]))).toBe(true);
    expect(stringRows(alone, 'mm').some(row => /≈/.test(row[4]))).toBe(false);
  });

  test('stations speak of everything that plays', () => {
    const [double] = demoBuilds();
    const [pickup] = double.pickups;
    const spare = { ...pickup, id: 'spare', name: 'Spare', position: 0.07, coils: [pickup.coils[0]] };
    const [position] = double.harness.positions;
    const taps = [...position.taps, { ...position.taps[0], pickup: 'spare' }];
    const both: Build = {
      ...double,
      pickups: [pickup, spare],
      harness: { ...double.harness, positions: [{ ...position, join: 'series', taps }] },
    };
    expect(stationFigures('position', look(both))[0]).toBe('162 mm + 70 mm');
    expect(stationFigures('aperture', look(both))[0]).toBe('two coils 18.5 mm apart + one coil');
    const [r, l] = pickup.coils.map(c => [c.resistance, c.inductance]).reduce((a, b) => [a[0] + b[0], a[1] + b[1]]);
    expect(stationFigures('coils', look(both))[0]).toBe(
      `${(r + pickup.coils[0].resistance) / 1000} kΩ ${l + pickup.coils[0].inductance} H`,
    );
    // halves under their own strings: one of them is under this one
    const halves = asKind(pickup, 'split', 6);
    const split = { ...double, pickups: [halves] };
    expect(stationFigures('aperture', look(split))[0]).toBe('one coil');
    const low = halves.coils.find(c => c.strings?.includes(6))!;
    const model = stringModel(double.instrument.strings[5]);
    const node = frequencyOf(model, Math.PI / (pickup.position + low.along));
    expect(Number.parseFloat(stationFigures('position', look(split))[1])).toBeCloseTo(node, -1);
    const turned = withValueAt(double, '/harness/positions/0/taps/0/antiphase', true);
    expect(stationFigures('aperture', look(turned))[1]).toBe('none, out of phase');
    // cos kx = 0 over the middle, half as high as the node of the pair in phase
    const antinode = frequencyOf(model, Math.PI / 2 / pickup.position);
    expect(Number.parseFloat(stationFigures('position', look(turned))[1])).toBeCloseTo(antinode, -1);
    expect(
      stationFigures(
        'coils',
        look({ ...double, harness: { ...double.harness, positions: [{ ...position, taps: [] }] } }),
      )[0],
    ).toBe('nothing connected');
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
    const silent = describeChange(look(double), look(withValueAt(double, '/harness/positions/0/taps', [])), 'rewire');
    expect(silent).toEqual({ did: 'Rewire: nothing reaches the input any more.', heard: '' });
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
