/** What guessing would reach in a forced choice between two: exact binomial tail, P(X ≥ k) = Σ_{i≥k} C(n,i)/2ⁿ. */

/** Probability that pure guessing gets `correct` or more right out of `trials`. */
export function guessProbability(correct: number, trials: number): number {
  for (const [name, x] of [
    ['correct', correct],
    ['trials', trials],
  ] as const) {
    if (!Number.isInteger(x) || x < 0) throw new RangeError(`${name} must be a whole number from 0 up, got ${x}`);
  }
  if (correct > trials) throw new RangeError(`${correct} correct of ${trials} trials`);
  // The smaller tail is summed, from its small terms up; logarithms keep 2^−n from vanishing.
  const tail = (k: number): number => {
    let logTerm = -trials * Math.LN2;
    let sum = Math.exp(logTerm);
    for (let i = trials; i > k; i--) {
      logTerm += Math.log(i / (trials - i + 1));
      sum += Math.exp(logTerm);
    }
    return sum;
  };
  if (correct === 0) return 1;
  return correct > trials / 2 ? tail(correct) : 1 - tail(trials - correct + 1);
}

/** Fewest correct answers that guessing reaches with a probability of at most `level`; null if not even all do. */
export function minimumCorrect(trials: number, level = 0.05): number | null {
  for (let k = 0; k <= trials; k++) if (guessProbability(k, trials) <= level) return k;
  return null;
}

export interface AbxResult {
  correct: number;
  trials: number;
  /** Chance of doing this well or better by guessing. */
  probability: number;
  /** "One time in …": 1/probability, rounded to two figures above 100, else to a whole number. */
  oneIn: number;
  /** Correct answers needed for p ≤ 0.05 with this many trials; null if there are too few trials to tell. */
  needed: number | null;
}

/** Everything that is said about a finished run. */
export function abxResult(correct: number, trials: number): AbxResult {
  const probability = guessProbability(correct, trials);
  const inverse = 1 / probability;
  const oneIn = inverse > 100 ? Number(inverse.toPrecision(2)) : Math.round(inverse);
  return { correct, trials, probability, oneIn, needed: minimumCorrect(trials) };
}
