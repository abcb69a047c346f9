/** A blind test as plain data: a fixed number of trials, in each of which X is one of two builds, and the answers so far. */
import { type AbxResult, abxResult } from '../../../shared/statistics/binomial.ts';
import { below, type Draw } from './shuffle.ts';

/** The first or the second of the two builds. */
export type Which = 0 | 1;

export interface BlindRun {
  /** What X is in each trial; drawn before the first one. */
  readonly hidden: readonly Which[];
  readonly answers: readonly Which[];
}

/** A run of `trials` trials; every X is an independent throw of a fair coin. */
export const drawBlindRun = (trials: number, word: Draw): BlindRun => ({
  hidden: Array.from({ length: trials }, () => below(2, word) as Which),
  answers: [],
});

export const isFinished = (run: BlindRun): boolean => run.answers.length === run.hidden.length;

/** What X is in the trial at hand. */
export const hiddenNow = (run: BlindRun): Which => run.hidden[run.answers.length];

/** The run with one more answer. @throws if it is finished */
export function withAnswer(run: BlindRun, answer: Which): BlindRun {
  if (isFinished(run)) throw new RangeError('every trial has its answer');
  return { ...run, answers: [...run.answers, answer] };
}

/** Every trial of a finished run; null before: nothing is told while there is something left to guess. */
export const trialsOf = (run: BlindRun): { x: Which; answer: Which }[] | null =>
  isFinished(run) ? run.hidden.map((x, i) => ({ x, answer: run.answers[i] })) : null;

/** What a list of finished trials shows. */
export const blindResult = (trials: readonly { x: Which; answer: Which }[]): AbxResult =>
  abxResult(trials.filter(trial => trial.x === trial.answer).length, trials.length);
