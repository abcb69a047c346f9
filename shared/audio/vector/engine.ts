/** What the engine offers to the outside. Everything else stands in the files beside this one, each about one thing. */
import { advance, blockOf, forget, prepareHistory, push } from './history';
import { reserve } from './memory';
import { sum } from './sums';
import { BLOCK_BYTES, prepareTransform } from './transform';

/** Kernel sets that the memory holds at once: the one that is heard, and the one that comes. */
const SETS: usize = 2;

let inputs: usize = 0;
let tables: usize = 0;
let tableBytes: usize = 0;
let kernels: usize = 0;
let kernelBytes: usize = 0;
let outputs: usize = 0;
let outputBytes: usize = 0;

/**
 * Takes all memory that will ever be used: for `inputCount` inputs of which `blocks` blocks are kept, and kernel sets of
 * at most `pathCount` paths to `outputCount` outputs, `partitions` partitions in all.
 */
export function prepare(
  inputCount: usize,
  blocks: usize,
  outputCount: usize,
  pathCount: usize,
  partitions: usize,
): void {
  inputs = inputCount;
  prepareTransform();
  prepareHistory(inputCount, blocks);
  tableBytes = pathCount * 16;
  tables = reserve(SETS * tableBytes);
  outputBytes = ((outputCount + 3) & ~3) * BLOCK_BYTES;
  outputs = reserve(SETS * outputBytes);
  kernelBytes = partitions * 1024;
  kernels = reserve(SETS * kernelBytes);
}

/** Where 128 samples of an input are to be put before `take`. */
export function inputAt(input: usize): usize {
  return blockOf(input);
}

/** Where a set's table of paths is to be put: of each path signal, target, partitions, place of its kernel. */
export function pathsAt(set: usize): usize {
  return tables + set * tableBytes;
}

/** Where a set's kernels are to be put. */
export function kernelsAt(set: usize): usize {
  return kernels + set * kernelBytes;
}

/** Where 128 samples of an output of a set are after `render`. */
export function outputAt(set: usize, output: usize): usize {
  return outputs + set * outputBytes + output * BLOCK_BYTES;
}

/** Takes one block of every input; returns how many samples were not finite and count as 0. */
export function take(): u32 {
  advance();
  let bad: u32 = 0;
  for (let first: usize = 0; first < inputs; first += 4) bad += push(first);
  return bad;
}

/** The current block of outputs 0 to `count` − 1 through a set of `pathCount` paths. */
export function render(set: usize, pathCount: usize, count: usize): void {
  const paths = pathsAt(set);
  for (let first: usize = 0; first < count; first += 4)
    sum(paths, paths + pathCount * 16, kernelsAt(set), first, outputAt(set, first));
}

/** Forgets all input. */
export function reset(): void {
  forget();
}
