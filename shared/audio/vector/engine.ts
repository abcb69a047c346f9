/**
 * What the engine offers to the outside. Everything else stands in the files beside this one, each about one thing:
 *
 *   memory      where everything lies
 *   transform   blocks to frequency, and back
 *   history     the spectra of what every signal has been
 *   sums        convolutions: sums of products of histories and kernels
 *   law         memoryless laws from tables
 *   oversample  twice the rate and back
 *   bend        sums through laws, which become signals again
 *   mix         fade from one kernel set to the other, guard, volume, meters
 *   limiter     true peaks stay below full scale
 *
 * Words:
 *
 *   signal      what has a history: an input, or one that laws have made
 *   kernel      an impulse response in frequency, cut into partitions of one block
 *   path        from a signal through a kernel to a target
 *   target      where paths are summed: a lane of a row, or an output
 *   row         four targets side by side, its lanes, each with a law that bends it
 *   gathering   rows whose lanes are added up, after their laws, into up to four signals
 *   set         a build's kernels, paths and laws; two at once while one fades into the other
 *
 * Signals are numbered: inputs first, then four to each gathering of set 0, then of set 1. Targets are numbered: four to
 * each row of the set, then its outputs.
 *
 * One coil over two strings, its flux bent by how far each string swings, then wired to one output: two inputs, signals 0
 * and 1. In set 0 the path 0 ─▶ 0 brings string 0 to target 0, the path 1 ─▶ 1 string 1 to target 1: lanes 0 and 1 of row 0,
 * whose laws are their flux; lanes 2 and 3 have none. Gathering 0 is that row; its `lanes` are 0, so both strings' flux adds
 * up to its first signal, number 2, the coil's. The path 2 ─▶ 4 takes that through the network's kernel to target 4, the
 * output. A block of it: `take`, `bend` (rows 0 to 1, the first two paths), `render` (the third), `mix`, `finish`.
 */
import { bendRow, clearGathering, closeGathering, LATENCY, openGathering, openRow, prepareBends } from './bend';
import { advance, blockOf, forget, prepareHistory, push, pushSilence } from './history';
import { LOOK_AHEAD, prepareLimiter, resetLimiter } from './limiter';
import { reserve } from './memory';
import { prepareMix } from './mix';
import { prepareOversampling } from './oversample';
import { PATH, pathTo, prepareSums, sum } from './sums';
import { blockBytes, prepareTransform, spectrumBytes } from './transform';

export { finish, heardAt, metersAt, mix, silence, weightsAt } from './mix';

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
 * Takes all memory that will ever be used: for blocks of `samples` samples (a power of two from 16 on), `inputCount`
 * inputs of which `blocks` blocks are kept, and kernel sets of at most `pathCount` paths to `outputCount` outputs,
 * `partitions` partitions in all; with at most `rowCount` rows of laws, `gatheringCount` gatherings, and `bytesOfLaws` for
 * the laws. A fade has at most `fadeSamples` samples; `sampleRate` is in Hz.
 */
export function prepare(
  samples: usize,
  inputCount: usize,
  blocks: usize,
  outputCount: usize,
  pathCount: usize,
  partitions: usize,
  rowCount: usize,
  gatheringCount: usize,
  bytesOfLaws: usize,
  fadeSamples: usize,
  sampleRate: f64,
): void {
  inputs = inputCount;
  rows = rowCount;
  gatherings = gatheringCount;
  prepareTransform(samples);
  prepareOversampling();
  prepareHistory(inputs + SETS * gatherings * 4, blocks);
  prepareSums();
  prepareBends(SETS * rows, SETS * gatherings);
  prepareLimiter(outputCount, sampleRate);
  prepareMix(outputCount, fadeSamples);
  tableBytes = pathCount * PATH;
  tables = reserve(SETS * tableBytes);
  outputBytes = outputCount * blockBytes;
  outputs = reserve(SETS * outputBytes);
  lawBytes = (bytesOfLaws + 15) & ~15;
  laws = reserve(SETS * lawBytes);
  kernelBytes = partitions * spectrumBytes;
  kernels = reserve(SETS * kernelBytes);
}

/** Samples that a law is late by. */
export function lawLatency(): usize {
  return LATENCY;
}

/** Samples that the limiter is late by. */
export function lookAhead(): usize {
  return LOOK_AHEAD;
}

/** Where a block of an input is to be put before `take`. */
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

/** Where a block of an output of a set is after `render`. */
export function outputAt(set: usize, output: usize): usize {
  return outputs + set * outputBytes + output * blockBytes;
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

/**
 * Takes one block of the inputs 0 to before `first`, and `from` to before `to`; all others are silent. Returns how many
 * samples were not finite and count as 0.
 */
export function take(first: usize, from: usize, to: usize): u32 {
  advance();
  let bad: u32 = 0;
  for (let input: usize = 0; input < inputs; input++)
    if (input < first || (input >= from && input < to)) bad += push(input);
    else pushSilence(input);
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
  const end = pathsAt(set) + endPath * PATH;
  let path = pathsAt(set) + firstPath * PATH;
  for (let output: usize = 0; output < count; output++) {
    path = pathTo(path, end, firstTarget + output);
    sum(path, end, kernelsAt(set), firstTarget + output, outputAt(set, output));
  }
}

/** Forgets all input, and what laws have made of it. */
export function reset(): void {
  forget(0, inputs + SETS * gatherings * 4);
}

/** Forgets what stands in the limiter. */
export function forgetLimiter(): void {
  resetLimiter();
}
