/** The whole grid of estimates: every string, frets 0 to 12, pickups at 4 to 30 %. `npx tsx tests/bench/places.ts` */
import { errorsOf, report } from '../take/accuracy.ts';

const FRETS = [
  [0, 4, 8, 12],
  [1, 5, 9, 11],
  [2, 3, 7, 10],
  [0, 2, 6, 9],
];
const PICKUPS = [0.04, 0.08, 0.13, 0.18, 0.24, 0.3];
const groups = [0, 1, 2, 3, 4, 5].flatMap(string =>
  PICKUPS.flatMap((share, p) =>
    FRETS.map((frets, f) => ({ string, frets, pickup: share * 0.648, seed: 10000 * string + 100 * p + 10 * f + 1 })),
  ),
);
for (const string of [0, 1, 2, 3, 4, 5])
  console.log(`string ${string + 1}: ${report(errorsOf(groups.filter(group => group.string === string)))}`);
console.log(report(errorsOf(groups)));
