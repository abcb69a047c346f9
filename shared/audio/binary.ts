/**
 * The engine's binary, as built from the vector source in `vector/`. It is compiled once; every thread that runs an engine
 * (the page's audio thread, its workers, the command line, the tests) is handed the compiled module at its start.
 */

/** What the binary offers; its documentation stands in `vector/engine.ts` and `vector/mix.ts`. Addresses are bytes in `memory`. */
export interface EngineBinary {
  memory: WebAssembly.Memory;
  prepare(
    samples: number,
    inputs: number,
    blocks: number,
    outputs: number,
    paths: number,
    partitions: number,
    rows: number,
    gatherings: number,
    bytesOfLaws: number,
    fadeSamples: number,
    sampleRate: number,
  ): void;
  lawLatency(): number;
  lookAhead(): number;
  inputAt(input: number): number;
  signalOf(set: number, gathering: number): number;
  pathsAt(set: number): number;
  kernelsAt(set: number): number;
  lawsAt(set: number): number;
  outputAt(set: number, output: number): number;
  openLaws(set: number, row: number, law0: number, law1: number, law2: number, law3: number): void;
  open(set: number, gathering: number): void;
  take(first: number, from: number, to: number): number;
  bend(
    set: number,
    gathering: number,
    firstRow: number,
    endRow: number,
    firstPath: number,
    endPath: number,
    lanes: number,
  ): void;
  render(set: number, firstPath: number, endPath: number, firstTarget: number, outputs: number): void;
  reset(): void;
  forgetLimiter(): void;
  weightsAt(): number;
  heardAt(output: number): number;
  metersAt(output: number): number;
  mix(output: number, from: number, to: number, at: number): number;
  silence(): void;
  finish(volume: number, step: number, target: number, limited: boolean): number;
}

let installed: WebAssembly.Module | null = null;

/** Says which compiled binary the engines of this thread run. */
export function installEngine(module: WebAssembly.Module): void {
  installed = module;
}

/** A binary of its own memory, yet to be prepared. */
export function instantiate(): EngineBinary {
  if (installed === null) throw new TypeError('this thread was not handed the engine: call installEngine first');
  return new WebAssembly.Instance(installed).exports as unknown as EngineBinary;
}
