/**
 * The engine's binary, as built from the vector source in `vector/`. It is compiled once; every thread that runs an engine
 * (the page's audio thread, its workers, the command line, the tests) is handed the compiled module at its start.
 */

/** What the binary offers; its documentation stands in `vector/engine.ts`. Addresses are bytes in `memory`. */
export interface EngineBinary {
  memory: WebAssembly.Memory;
  prepare(inputs: number, blocks: number, outputs: number, paths: number, partitions: number): void;
  inputAt(input: number): number;
  pathsAt(set: number): number;
  kernelsAt(set: number): number;
  outputAt(set: number, output: number): number;
  take(): number;
  render(set: number, paths: number, outputs: number): void;
  reset(): void;
}

let installed: WebAssembly.Module | null = null;

/** Says which compiled binary the engines of this thread run. */
export function installEngine(module: WebAssembly.Module): void {
  installed = module;
}

/** A binary of its own memory, yet to be prepared. */
export function instantiate(): EngineBinary {
  if (installed === null) throw new Error('this thread was not handed the engine: call installEngine first');
  return new WebAssembly.Instance(installed).exports as unknown as EngineBinary;
}
