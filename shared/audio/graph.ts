/**
 * What the engine can play, as plain data: inputs, linear kernels between signals, and laws where a signal bends.
 *
 *   strings, sources ──kernels──▶ stage 1: Σ laws ──kernels──▶ stage 2: Σ laws ──▶ … ──kernels──▶ outputs
 *
 * Every stage may hear the inputs and all signals of the stages before it. What has no law between collapses to kernels
 * from inputs to outputs; a graph without stages costs nothing more than those.
 */
import type { Law } from './law.ts';
import type { Source } from './sources.ts';

/** An impulse response from a signal: numbered are the strings, the sources, then the bent signals, stage after stage. */
export interface Path {
  from: number;
  kernel: Float32Array;
}

/** What paths bring together, through a law. */
export interface Bend {
  paths: readonly Path[];
  law: Law;
}

/** A signal that laws make: the sum of what they give (the EMF of a coil from all of its strings, say). */
export type BentSignal = readonly Bend[];

export interface SoundGraph {
  /** Strings of the take. */
  strings: number;
  /** What the engine generates itself; none costs nothing. */
  sources: readonly Source[];
  stages: readonly (readonly BentSignal[])[];
  outputs: readonly (readonly Path[])[];
  /** Samples by which its kernels are later than those of a graph without stages. */
  late: number;
}

/** The graph of kernels alone, `outputs[output][string]`. */
export const linearGraph = (outputs: readonly (readonly Float32Array[])[]): SoundGraph => ({
  strings: outputs[0]?.length ?? 0,
  sources: [],
  stages: [],
  outputs: outputs.map(kernels => kernels.map((kernel, from) => ({ from, kernel }))),
  late: 0,
});
