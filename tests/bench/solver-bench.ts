/**
 * What the solver costs: a whole six-coil harness at 2,049 frequencies, and the same harness and frequencies in ngspice.
 */

import { harnessCircuit, harnessNetwork } from '../../shared/circuit/harness.ts';
import { harnessNetlist } from '../../shared/circuit/netlist.ts';
import { fromNotation, wire } from '../../shared/circuit/schemes.ts';
import { compile } from '../../shared/circuit/solve.ts';
import type { Build } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { runAc } from '../reference/ngspice.ts';

interface BenchRow {
  what: string;
  value: number;
  unit: string;
  /** What was measured, in a sentence. */
  note: string;
}

const median = (values: number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1];

async function timed(run: () => unknown, times: number): Promise<number> {
  const taken: number[] = [];
  for (let i = 0; i < times; i++) {
    const start = performance.now();
    await run();
    taken.push(performance.now() - start);
  }
  return median(taken);
}

/** Three pickups of two coils each, all six connected with losses, four pots, cable and input. */
function wholeHarness(): Build {
  const [base] = demoBuilds();
  const { pickups } = fromNotation('HHH', base.instrument)!;
  const lossy = pickups.map(p => ({
    ...p,
    coils: p.coils.map(c => ({ ...c, loss: { kind: 'eddy' as const, resistance: 400e3 }, cover: 9000 })),
  }));
  const { harness, outputs } = wire(lossy, 'all');
  return { ...base, pickups: lossy, harness, outputs };
}

async function measure(): Promise<BenchRow[]> {
  const build = wholeHarness();
  const grid = Float64Array.from({ length: 2049 }, (_, i) => (i * 48000) / 4096);
  const circuit = harnessCircuit(build, 5);
  const { unknowns, entries, steps } = circuit.size;
  for (let i = 0; i < 30; i++) harnessCircuit(build, 5).sweep(grid);
  const compiling = await timed(() => {
    const network = harnessNetwork(build, true);
    compile(network, network.outputs);
  }, 40);
  const sweeping = await timed(() => circuit.sweep(grid), 40);
  // ngspice: the same network at the same number of frequencies, one EMF pattern a run
  const lin = 'ac lin 2049 20 20000';
  const { text } = harnessNetlist(build, 5, { analysis: lin });
  await runAc(text);
  const theirs = await timed(() => runAc(text), 9);
  const same = Float64Array.from({ length: 2049 }, (_, i) => 20 + (i * 19980) / 2048);
  const ours = await timed(() => harnessCircuit(build, 5).sweep(same), 40);
  return [
    {
      what: 'solver sweep',
      value: sweeping,
      unit: 'ms',
      note: `six coils, five pots, 2,049 frequencies: ${unknowns} unknowns, ${entries} entries, ${steps} steps`,
    },
    { what: 'solver compile', value: compiling, unit: 'ms', note: 'network, ordering and elimination of that harness' },
    {
      what: 'solver against ngspice',
      value: ours / theirs,
      unit: 'ratio',
      note: `same harness and frequencies, netlist to results: ours ${ours.toFixed(2)} ms (all six gains and the impedance), ngspice ${theirs.toFixed(1)} ms (one gain)`,
    },
  ];
}

export default async function solverBench(): Promise<void> {
  for (const { what, value, unit, note } of await measure())
    console.log(`${what}: ${value.toFixed(unit === 'ratio' ? 3 : 2)} ${unit} (${note})`);
}
