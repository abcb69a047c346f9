/**
 * What the engine offers to the outside. Everything else stands in the files beside this one, each about one thing:
 *
 *   memory      where everything lies
 *   transform   128 points of four signals at once, and back
 *   history     the spectra of what every signal has been
 *   sums        convolutions: sums of products of histories and kernels
 *   law         memoryless laws from tables
 *   oversample  twice the rate and back
 *   bend        sums through laws, which become signals again
 *
 * Signals are numbered: inputs first, filled up to a multiple of four, then four to each gathering of set 0, then of set 1.
 */
import { bendRow, clearGathering, closeGathering, LATENCY, openGathering, openRow, prepareBends } from './bend';
import { advance, blockOf, forget, prepareHistory, push } from './history';
import { reserve, VECTOR } from './memory';
import { prepareOversampling } from './oversample';
import { PATH, sum } from './sums';
import { BLOCK, BLOCK_BYTES, prepareTransform, present, SPECTRUM } from './transform';
import { storeTransposed } from './transpose';

/** Kernel sets that the memory holds at once: the one that is heard, and the one that comes. */
const SETS: usize = 2;

let inputs: usize = 0;
let rows: usize = 0;
let gatherings: usize = 0;
let tables: usize = 0;
let tableBytes: usize = 0;
let kernels: usize = 0;
let kernelBytes: usize = 0;
let laws: usize = 0;
let lawBytes: usize = 0;
let outputs: usize = 0;
let outputBytes: usize = 0;

/**
 * Takes all memory that will ever be used: for `inputCount` inputs of which `blocks` blocks are kept, and kernel sets of
 * at most `pathCount` paths to `outputCount` outputs, `partitions` partitions in all; with at most `rowCount` rows of
 * laws, `gatheringCount` gatherings, and `bytesOfLaws` for the laws.
 */
export function prepare(
  inputCount: usize,
  blocks: usize,
  outputCount: usize,
  pathCount: usize,
  partitions: usize,
  rowCount: usize,
  gatheringCount: usize,
  bytesOfLaws: usize,
): void {
  inputs = (inputCount + 3) & ~3;
  rows = rowCount;
  gatherings = gatheringCount;
  prepareTransform();
  prepareOversampling();
  prepareHistory(inputs + SETS * gatherings * 4, blocks);
  prepareBends(SETS * rows, SETS * gatherings);
  tableBytes = pathCount * PATH;
  tables = reserve(SETS * tableBytes);
  outputBytes = ((outputCount + 3) & ~3) * BLOCK_BYTES;
  outputs = reserve(SETS * outputBytes);
  lawBytes = (bytesOfLaws + 15) & ~15;
  laws = reserve(SETS * lawBytes);
  kernelBytes = partitions * SPECTRUM;
  kernels = reserve(SETS * kernelBytes);
}

/** Samples that a law is late by. */
export function lawLatency(): usize {
  return LATENCY;
}

/** Where 128 samples of an input are to be put before `take`. */
export function inputAt(input: usize): usize {
  return blockOf(input);
}

/** The number of a gathering's first signal. */
export function signalOf(set: usize, gathering: usize): usize {
  return inputs + (set * gatherings + gathering) * 4;
}

/** Where a set's table of paths is to be put: of each path signal, target, partitions, place of its kernel. */
export function pathsAt(set: usize): usize {
  return tables + set * tableBytes;
}

/** Where a set's kernels are to be put. */
export function kernelsAt(set: usize): usize {
  return kernels + set * kernelBytes;
}

/** Where a set's laws are to be put. */
export function lawsAt(set: usize): usize {
  return laws + set * lawBytes;
}

/** Where 128 samples of an output of a set are after `render`. */
export function outputAt(set: usize, output: usize): usize {
  return outputs + set * outputBytes + output * BLOCK_BYTES;
}

/** Begins a row of a set, with four laws, each where it stands among the set's laws in bytes. */
export function openLaws(set: usize, row: usize, law0: usize, law1: usize, law2: usize, law3: usize): void {
  const at = lawsAt(set);
  openRow(set * rows + row, at + law0, at + law1, at + law2, at + law3);
}

/** Begins a gathering of a set, and its signals. */
export function open(set: usize, gathering: usize): void {
  openGathering(set * gatherings + gathering);
  forget(signalOf(set, gathering), 4);
}

/** Takes one block of every input; returns how many samples were not finite and count as 0. */
export function take(): u32 {
  advance();
  let bad: u32 = 0;
  for (let first: usize = 0; first < inputs; first += 4) bad += push(first);
  return bad;
}

/**
 * One block of a gathering of a set: rows `firstRow` to before `endRow`, whose targets have the numbers 4·row to
 * 4·row + 3, from paths `firstPath` to before `endPath`. `lanes` says which signal each lane adds to.
 */
export function bend(
  set: usize,
  gathering: usize,
  firstRow: usize,
  endRow: usize,
  firstPath: usize,
  endPath: usize,
  lanes: u32,
): void {
  const paths = pathsAt(set);
  const into = set * gatherings + gathering;
  clearGathering(into);
  for (let row = firstRow; row < endRow; row++)
    bendRow(set * rows + row, paths + firstPath * PATH, paths + endPath * PATH, kernelsAt(set), 4 * row, into);
  closeGathering(into, lanes, signalOf(set, gathering));
}

/**
 * The current block of `count` outputs of a set, whose targets have the numbers from `firstTarget` on, from paths
 * `firstPath` to before `endPath`.
 */
export function render(set: usize, firstPath: usize, endPath: usize, firstTarget: usize, count: usize): void {
  const paths = pathsAt(set);
  for (let output: usize = 0; output < count; output += 4) {
    const out = outputAt(set, output);
    if (sum(paths + firstPath * PATH, paths + endPath * PATH, kernelsAt(set), firstTarget + output)) {
      for (let n: usize = 0; n < BLOCK; n += 4) {
        const to = out + (n / 4) * VECTOR;
        storeTransposed(
          present(n),
          present(n + 1),
          present(n + 2),
          present(n + 3),
          to,
          to + BLOCK_BYTES,
          to + 2 * BLOCK_BYTES,
          to + 3 * BLOCK_BYTES,
        );
      }
    } else memory.fill(out, 0, 4 * BLOCK_BYTES);
  }
}

/** Forgets all input, and what laws have made of it. */
export function reset(): void {
  forget(0, inputs + SETS * gatherings * 4);
}
