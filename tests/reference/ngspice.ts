/** ngspice (the WebAssembly build of the open-source circuit simulator) as an independent judge of networks. */
import { Simulation } from 'eecircuit-engine';

export interface AcResult {
  frequencies: Float64Array;
  /** Complex voltage of a node. */
  voltage(node: string): { re: Float64Array; im: Float64Array };
}

let engine: Promise<Simulation> | null = null;
const started = (): Promise<Simulation> => {
  engine ??= (async () => {
    const simulation = new Simulation();
    await simulation.start();
    return simulation;
  })();
  return engine;
};
let last: Promise<unknown> = Promise.resolve();

/** Runs a netlist with an `.ac` line. Runs queue up: two at once on one engine never return. */
export function runAc(text: string): Promise<AcResult> {
  const run = last.then(async () => {
    const simulation = await started();
    simulation.setNetList(text);
    // its notes on how it found the steady state are no news: what it refuses shows in the result
    const { error, warn, log } = console;
    console.error = console.warn = console.log = () => {};
    const result = await simulation.runSim().finally(() => Object.assign(console, { error, warn, log }));
    if (result.dataType !== 'complex' || result.numPoints < 2)
      throw new Error(`ngspice refused:\n${text}\n${(await simulation.getError()).join('\n')}`);
    const frequencies = Float64Array.from(result.data[0].values as { real: number }[], v => v.real);
    return {
      frequencies,
      voltage: (node: string) => {
        const found = result.data.find(d => d.name.toLowerCase() === `v(${node})`);
        if (!found) throw new Error(`no v(${node}) in ${result.variableNames.join(' ')}\n${text}`);
        const values = found.values as { real: number; img: number }[];
        return { re: Float64Array.from(values, v => v.real), im: Float64Array.from(values, v => v.img) };
      },
    };
  });
  last = run.catch(() => {});
  return run;
}
