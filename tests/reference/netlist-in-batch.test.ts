/**
 * The written netlist as people run it: `ngspice -b build.cir`. In batch a simulator does an analysis only if a line asks
 * for its output (ngspice manual, ch. 12.4.1), and it prints every line of that. Where ngspice is installed it is run;
 * everywhere its WebAssembly build must take the text as it is.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { harnessGains } from '../../shared/circuit/harness.ts';
import { harnessNetlist } from '../../shared/circuit/netlist.ts';
import type { Build } from '../../shared/document/build.ts';
import { demoBass, examples } from '../../shared/document/starting/starting-builds.ts';
import { run } from '../../src/cli/commands.ts';
import { dice, randomBuild } from '../circuit/random.ts';
import { runAc } from './ngspice.ts';

const native = spawnSync('ngspice', ['-v'], { encoding: 'utf8' }).status === 0;
const d = dice(31);
const BUILDS: Build[] = [
  ...examples().map(e => e.build),
  demoBass(),
  ...Array.from({ length: 12 }, () => randomBuild(d)),
];

/** What every coil at 1 V in its own sense makes at an output, dB re 1 V. */
function ours(build: Build, output: number, frequencies: Float64Array): Float64Array {
  const gains = harnessGains(build, 5, frequencies)[output];
  const [re, im] = [new Float64Array(frequencies.length), new Float64Array(frequencies.length)];
  for (const pickup of build.pickups)
    for (const coil of pickup.coils) {
      const gain = gains.get(`${pickup.id}.${coil.id}`);
      if (!gain) continue;
      for (let i = 0; i < re.length; i++) {
        re[i] += coil.polarity * coil.winding * gain.re[i];
        im[i] += coil.polarity * coil.winding * gain.im[i];
      }
    }
  return re.map((x, i) => 20 * Math.log10(Math.hypot(x, im[i])));
}

/** Columns of one printed table: frequency and level. */
const printed = (text: string): [number, number][] =>
  [...text.matchAll(/^\d+\t(\S+)\t(\S+)\t/gm)].map(m => [Number(m[1]), Number(m[2])]);

describe('a netlist in batch', () => {
  test('every sounding output has its line of output after the analysis', () => {
    for (const build of BUILDS) {
      const { text, outputs } = harnessNetlist(build);
      const lines = text.trim().split('\n');
      const analysis = lines.findIndex(line => line.startsWith('.ac '));
      const nodes = lines.slice(analysis + 1, -1).map(line => /^\.print ac vdb\((\w+)\) vp\(\1\)$/.exec(line)?.[1]);
      expect(nodes).toEqual([...new Set(outputs.filter(node => node !== undefined && node !== '0'))]);
    }
  });

  test('the WebAssembly simulator takes it as it is', async () => {
    for (const build of BUILDS.slice(0, 6)) {
      const { text, outputs } = harnessNetlist(build);
      const { frequencies, voltage } = await runAc(text);
      const { re, im } = voltage(outputs[0]!);
      const level = ours(build, 0, frequencies);
      for (const [i, value] of level.entries()) expect(20 * Math.log10(Math.hypot(re[i], im[i]))).toBeCloseTo(value, 6);
    }
  });

  test.runIf(native)('ngspice -b prints the levels that the model has', () => {
    const folder = mkdtempSync(join(tmpdir(), 'netlist-'));
    try {
      let tables = 0;
      for (const [n, build] of BUILDS.entries()) {
        const { outputs } = harnessNetlist(build);
        if (outputs.filter(node => node !== undefined && node !== '0').length !== 1) continue;
        const json = join(folder, `${n}.json`);
        const file = join(folder, `${n}.cir`);
        writeFileSync(json, JSON.stringify(build));
        writeFileSync(file, run(['netlist', json]).out);
        const { status, stdout, stderr } = spawnSync('ngspice', ['-b', file], { encoding: 'utf8' });
        expect(status, stderr).toBe(0);
        expect(stderr).not.toMatch(/error|can't|no simulations/i);
        const rows = printed(stdout);
        expect(rows).toHaveLength(301);
        const output = outputs.findIndex(node => node !== undefined && node !== '0');
        const level = ours(
          build,
          output,
          Float64Array.from(rows, row => row[0]),
        );
        for (const [i, [, value]] of rows.entries()) expect(Math.abs(value - level[i]), build.name).toBeLessThan(2e-3);
        tables++;
      }
      expect(tables).toBeGreaterThan(10);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
