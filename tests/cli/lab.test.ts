import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { integratedLoudness } from '../../shared/audio/loudness.ts';
import { readWav } from '../../shared/audio/wav.ts';
import { writeWav } from '../../shared/audio/wav-write.ts';
import type { Build } from '../../shared/document/build.ts';
import { parseBuild } from '../../shared/document/reading/parse-build.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { kernelDelay } from '../../shared/response/delay.ts';
import { response } from '../../shared/response/response.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { run } from '../../src/cli/commands.ts';
import { compareText } from '../../src/cli/compare.ts';
import { Failure } from '../../src/cli/failure.ts';

vi.setConfig({ testTimeout: 60_000 });

const [a, b] = demoBuilds();
let folder = '';
let file = '';
const at = (name: string) => join(folder, name);
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'lab-'));
  file = at('a.json');
  writeFileSync(file, JSON.stringify(a));
});
afterAll(() => rmSync(folder, { recursive: true }));

const lab = (line: string) => run(line.split(' ').map(word => (word === 'BUILD' ? file : word)));
const rows = (out: string) =>
  out
    .trim()
    .split('\n')
    .slice(1)
    .map(line => line.split(',').map(Number));
const failure = (line: string): string => {
  try {
    lab(line);
  } catch (error) {
    expect(error).toBeInstanceOf(Failure);
    return (error as Failure).message;
  }
  throw new Error(`"lab ${line}" did not fail`);
};

describe('response', () => {
  test('is the exact response, every digit of it', () => {
    const { out } = lab('response BUILD --string 6 --point TP5 --from 50 --to 5000 --points 7 --log');
    expect(out.split('\n')[0]).toBe('frequency_hz,real,imag');
    const list = rows(out);
    expect(list).toHaveLength(7);
    const f = Float64Array.from(list, row => row[0]);
    expect(f[0]).toBe(50);
    expect(f[6]).toBe(5000);
    expect(f[3]).toBeCloseTo(500, 9);
    const exact = response(a, 5, 5, f);
    for (const [i, [, re, im]] of list.entries()) expect([re, im]).toEqual([exact.re[i], exact.im[i]]);
  });

  test('evenly spaced unless told, test points by number too, bridge force is 1', () => {
    const list = rows(lab('response BUILD --string 1 --point 1 --from 0 --to 100 --points 5').out);
    expect(list).toEqual([0, 25, 50, 75, 100].map(f => [f, 1, 0]));
  });

  test('with the delay it is late by the kernel delay', () => {
    const delay = kernelDelay(a.instrument.strings[0], 44_100) / 44_100;
    const [[f, re, im]] = rows(
      lab('response BUILD --string 1 --point tp1 --from 777 --to 777 --points 1 --delay --rate 44100').out,
    );
    expect(re).toBeCloseTo(Math.cos(2 * Math.PI * f * delay), 12);
    expect(im).toBeCloseTo(-Math.sin(2 * Math.PI * f * delay), 12);
  });

  test('takes a build out of a sheet', () => {
    writeFileSync(at('sheet.json'), JSON.stringify(demoSheet()));
    const words = ['--string', '6', '--point', 'TP3', '--points', '3'];
    const first = run(['response', at('sheet.json'), ...words]);
    const second = run(['response', at('sheet.json'), '--build', 'B', ...words]);
    const exact = (build: typeof a) => Array.from(response(build, 5, 3, Float64Array.of(20, 10_010, 20_000)).im);
    expect(rows(first.out).map(r => r[2])).toEqual(exact(a));
    expect(rows(second.out).map(r => r[2])).toEqual(exact(b));
    // which build it is, is said where nobody asked for one
    expect(first.notes).toBe('build A of A, B; --build LETTER takes another\n');
    expect(second.notes).toBeUndefined();
    expect(run(['netlist', at('sheet.json')]).notes).toBe(first.notes);
    expect(run(['netlist', file]).notes).toBeUndefined();
  });
});

describe('render', () => {
  test('an impulse through the engine is the exact response', () => {
    const impulses = a.instrument.strings.map((_, s) => {
      const channel = new Float32Array(8000);
      if (s === 4) channel[500] = 1;
      return channel;
    });
    writeFileSync(at('in.wav'), writeWav(impulses, { sampleRate: 48_000, bits: '32f' }));
    const { notes } = run(['render', file, '--take', at('in.wav'), '--point', 'TP5', '--out', at('out.wav')]);
    expect(notes).toMatch(/48000 Hz, 32f bit/);
    const wav = readWav(readFileSync(at('out.wav')));
    expect(wav.sampleRate).toBe(48_000);
    const late = 500 + kernelDelay(a.instrument.strings[4], 48_000);
    const f = Float64Array.from([60, 110, 440, 1000, 3000, 6000, 12_000, 20_000]);
    const exact = response(a, 4, 5, f);
    const most = Math.max(...f.map((_, i) => Math.hypot(exact.re[i], exact.im[i])));
    for (const [i, hz] of f.entries()) {
      let [re, im] = [0, 0];
      wav.channels[0].forEach((x, n) => {
        re += x * Math.cos((2 * Math.PI * hz * (n - late)) / 48_000);
        im -= x * Math.sin((2 * Math.PI * hz * (n - late)) / 48_000);
      });
      expect(Math.hypot(re - exact.re[i], im - exact.im[i]) / most).toBeLessThan(1e-5);
    }
  });

  test('a shipped take, at a rate and in bits, is brought below full scale when integers would clip', () => {
    const words = ['--take', 'modelled-single-notes', '--point', 'TP5', '--rate', '44100', '--out', at('take.wav')];
    const { notes } = run(['render', file, ...words, '--bits', '24', '--normalize']);
    expect(notes).toMatch(/peak -1\.00 dB/);
    const wav = readWav(readFileSync(at('take.wav')));
    expect(wav.sampleRate).toBe(44_100);
    const peak = wav.channels[0].reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    expect(20 * Math.log10(peak)).toBeCloseTo(-1, 2);
    expect(() => run(['render', file, ...words, '--bits', '16', '--gain', '60'])).toThrow(/clip.*expected at most/);
  });

  test('one channel needs to be told its string', () => {
    writeFileSync(at('mono.wav'), writeWav([Float32Array.of(0, 1, 0, 0)], { sampleRate: 48_000, bits: 16 }));
    const words = ['render', file, '--take', at('mono.wav'), '--point', 'TP1', '--out', at('one.wav')];
    expect(() => run(words)).toThrow(/one channel; say which string it is with --string 1 to 6/);
    run([...words, '--string', '3']);
    const wav = readWav(readFileSync(at('one.wav')));
    const loudest = wav.channels[0].reduce((best, x, i, all) => (Math.abs(x) > Math.abs(all[best]) ? i : best), 0);
    expect(loudest).toBe(1 + kernelDelay(a.instrument.strings[2], 48_000));
  });
});

describe('the others', () => {
  test('takes, example, netlist, figures and help print what they say', () => {
    expect(lab('takes').out).toMatch(/^open-strings-strum\trecorded\t/m);
    for (const name of lab('example list').out.trim().split('\n'))
      expect(parseBuild(JSON.parse(lab(`example ${name.split('\t')[0]}`).out)).ok).toBe(true);
    expect(JSON.parse(lab('example').out)).toEqual(a);
    expect(lab('netlist BUILD').out).toMatch(/^l\w+ \S+ \S+ 2\.25$/m);
    const figures = lab('figures BUILD --fret 12 --to 3000').out;
    expect(figures).toMatch(/^0\*,"two coils, series",0\.00,268\d\.\d,/m);
    expect(figures).toMatch(/^6,E2,330\.\d+,\d+\.\d,yes,2\.0\d\d,position,neck$/m);
    expect(lab('help').out).toBe(run([]).out);
  });
});

describe('bad input', () => {
  test('each is told what was wrong and what is expected', () => {
    const r = 'response BUILD --string 6 --point TP5';
    expect(failure('play')).toMatch(/no command "play"; commands are response, render/);
    expect(failure('response')).toMatch(/which build\?/);
    expect(failure('response BUILD --point TP5')).toMatch(/--string is missing: a whole number from 1 to 6/);
    expect(failure('response BUILD --string 7 --point TP5')).toMatch(/--string is "7"; expected .* from 1 to 6/);
    expect(failure('response BUILD --string 2')).toMatch(/--point is missing; expected TP1/);
    expect(failure('response BUILD --string 2 --point TP6')).toMatch(/"TP6"; expected TP1/);
    expect(failure(`${r} --points 0`)).toMatch(/--points is "0"/);
    expect(failure(`${r} --points 1.5`)).toMatch(/whole number/);
    expect(failure(`${r} --from -5`)).toMatch(/--from is "-5"; expected a number from 0/);
    expect(failure(`${r} --from x`)).toMatch(/--from is "x"/);
    expect(failure(`${r} --from 0 --log`)).toMatch(/above 0 Hz/);
    expect(failure(`${r} --from 500 --to 100`)).toMatch(/lies below/);
    expect(failure(`${r} --strin 3`)).toMatch(/knows --build, --string/);
    expect(failure('response BUILD extra --string 2 --point 5')).toMatch(/"extra" was not expected/);
    expect(failure('response /nowhere.json --string 2 --point 5')).toMatch(/cannot read "\/nowhere.json"/);
    expect(failure('render BUILD --take nothing --point 5 --out x.wav')).toMatch(/no take "nothing".*modelled-strum/s);
    expect(failure('render BUILD --take modelled-bass-line --point 5 --out x.wav')).toMatch(
      /another kind of instrument/,
    );
    expect(failure('render BUILD --take modelled-strum --point 5')).toMatch(/--out is missing/);
    expect(failure('render BUILD --take modelled-strum --point 5 --out x.wav --bits 8')).toMatch(/16, 24 or 32f/);
    expect(failure('netlist BUILD --point 2')).toMatch(/TP4 or TP5/);
    expect(failure('example nothing')).toMatch(/examples are neck-double/);
  });

  test('a broken file is told where it is broken', () => {
    writeFileSync(at('broken.json'), '{"format":');
    expect(() => run(['figures', at('broken.json')])).toThrow(/is no JSON/);
    writeFileSync(at('bad.json'), JSON.stringify({ ...a, pickups: [{ ...a.pickups[0], position: -1 }] }));
    expect(() => run(['figures', at('bad.json')])).toThrow(/pickups\.0\.position: .*at least 0\.003 m.*found -1/);
  });

  test('the program itself exits with 2 and keeps standard output clean', () => {
    const program = fileURLToPath(new URL('../../src/cli/lab.ts', import.meta.url));
    const start = (...words: string[]) =>
      spawnSync(process.execPath, ['--import', 'tsx', program, ...words], { encoding: 'utf8' });
    const wrong = start('response', file, '--string', '9', '--point', 'TP5');
    expect(wrong).toMatchObject({ status: 2, stdout: '' });
    expect(wrong.stderr).toMatch(/^--string is "9"; expected/);
    const right = start('response', file, '--string', '6', '--point', 'TP5', '--points', '2');
    expect(right).toMatchObject({ status: 0, stderr: '' });
    expect(right.stdout).toBe(lab('response BUILD --string 6 --point TP5 --points 2').out);
  });
});

describe('sets of files', () => {
  test('builds × takes × points go into a folder, named and equally loud', () => {
    writeFileSync(at('b.json'), JSON.stringify(b));
    const out = at('set');
    const words = ['--take', 'modelled-strum', '--point', 'TP4,TP5', '--out', out, '--bits', '24', '--rate', '44100'];
    const lines = run(['render', file, at('b.json'), ...words])
      .out.trim()
      .split('\n');
    expect(lines[0]).toBe('file,loudness_lufs,true_peak_dbtp,gain_db');
    const names = lines.slice(1).map(line => line.split(',')[0]);
    expect(
      names.map(name => /^([AB])_.*_modelled-strum_(TP[45])_matched_44.1kHz_24bit\.wav$/.exec(name)?.slice(1)),
    ).toEqual([
      ['A', 'TP4'],
      ['B', 'TP4'],
      ['A', 'TP5'],
      ['B', 'TP5'],
    ]);
    const loudness = names.map(name => {
      const { channels, sampleRate } = readWav(readFileSync(join(out, name)));
      expect(sampleRate).toBe(44_100);
      return integratedLoudness([channels[0], channels[0]], sampleRate);
    });
    expect(Math.abs(loudness[0] - loudness[1])).toBeLessThan(0.1);
    expect(Math.abs(loudness[2] - loudness[3])).toBeLessThan(0.1);
  });

  test('a sheet gives all its builds, a repeated option is a list, true levels keep what differs', () => {
    writeFileSync(at('sheet.json'), JSON.stringify(demoSheet()));
    const words = [
      '--take',
      'modelled-long-note',
      '--point',
      '5',
      '--point',
      '4',
      '--out',
      at('true'),
      '--level',
      'true',
    ];
    const rows = run(['render', at('sheet.json'), ...words])
      .out.trim()
      .split('\n')
      .slice(1);
    const gains = rows.map(row => Number(row.split(',')[3]));
    expect(rows).toHaveLength(4);
    expect([gains[0], gains[2]]).toEqual([gains[1], gains[3]]);
  });

  test('wrong orders say what is expected', () => {
    const many = (rest: string) => failure(`render BUILD --take modelled-strum,modelled-riff --point 5 ${rest}`);
    expect(many('')).toMatch(/--out is missing: the folder/);
    expect(many('--out x.wav')).toMatch(/need a folder/);
    expect(many('--out x --gain 3')).toMatch(/--gain is for one file/);
    expect(many('--out x --level loud')).toMatch(/expected matched .* or true/);
    expect(many('--out x --reference C')).toMatch(/builds are A/);
    expect(failure('render BUILD BUILD BUILD BUILD BUILD BUILD BUILD BUILD BUILD --take a,b --point 5')).toMatch(
      /not expected/,
    );
  });
});

describe('compare and sheet', () => {
  test('what differs stands in words, and the figures in CSV are those of the model', () => {
    writeFileSync(at('b.json'), JSON.stringify(b));
    const { out } = run(['compare', file, at('b.json')]);
    expect(out).toContain('position 162 mm → 38 mm');
    const row = out.split('\n').find(line => line.includes('first node of string 6 over coil bridge.coil'))!;
    const node = partial(stringModel(b.instrument.strings[5]), 648 / 38);
    expect(Number(row.split(',').at(-2))).toBeCloseTo(node, 1);
    expect(run(['compare', file, file]).out).toContain('# nothing');
    expect(run(['compare', at('sheet.json'), '--builds', 'a,b']).out).toBe(out);
    expect(failure('compare BUILD')).toMatch(/two builds/);
  });

  test('from hum that cancels to hum that does not is no number of decibels', () => {
    // one winding of a pair turned: its hum adds up
    const [pair] = demoBuilds();
    const [neck] = pair.pickups;
    const turned = {
      ...pair,
      pickups: [
        { ...neck, coils: neck.coils.map(coil => ({ ...coil, winding: 1 as const })) },
        ...pair.pickups.slice(1),
      ],
    };
    const humOf = (a: Build, b: Build) => /^"hum[^"]*",(.*)$/m.exec(compareText(a, b))![1].split(',');
    const [here, there, apart] = humOf(pair, turned);
    expect([here, apart]).toEqual(['-Infinity', '']);
    expect(Number.isFinite(Number(there))).toBe(true);
    expect(humOf(pair, pair)[2]).toBe('');
    expect(humOf(turned, turned)[2]).toBe('0.00');
  });

  test('the build sheet is SVG in the size of its paper', () => {
    const svg = run(['sheet', file, '--paper', 'letter', '--owner', 'Alder Bench']).out;
    expect(svg).toMatch(/^<\?xml[^>]*>\n<svg [^>]*width="279.4mm"/);
    expect(svg).toContain('>Alder Bench<');
    run(['sheet', file, '--out', at('sheet.svg')]);
    expect(readFileSync(at('sheet.svg'), 'utf8')).toContain('width="297mm"');
    expect(failure('sheet BUILD --paper a3')).toMatch(/a4 or letter/);
  });
});

describe('hostile input', () => {
  const from = (name: string, content: string) => {
    writeFileSync(at(name), content);
    return at(name);
  };

  test('names that every object has are no commands, formats or examples', () => {
    for (const name of ['constructor', 'toString', '__proto__']) {
      expect(failure(name)).toContain(`there is no command "${name}"`);
      expect(failure(`example ${name}`)).toContain('there is no example');
      expect(failure(`render BUILD --take modelled-riff --point 5 --out x.wav --bits ${name}`)).toContain(
        'expected 16',
      );
    }
  });

  test('deep and swollen files are refused in a sentence, a byte order mark is no part of JSON', () => {
    const deep = '['.repeat(200_000) + ']'.repeat(200_000);
    expect(failure(`figures ${from('deep.json', deep)}`)).toContain('no build');
    expect(
      failure(`figures ${from('deeper.json', `{"format":"comb-and-coil/build","version":1,"x":${deep}}`)}`),
    ).toContain('nested deeper');
    expect(lab(`figures ${from('bom.json', `\uFEFF${JSON.stringify(a)}`)}`).out).toBe(lab('figures BUILD').out);
  });
});
