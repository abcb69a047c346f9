/** What blind choices between pairs say about an order of preference. */
import { bradleyTerry, compareItems, standardError } from './bradley-terry.ts';

/** One choice between two builds, by their indices. */
export interface Choice {
  chosen: number;
  over: number;
}

export interface RankedItem {
  /** Index of the build. */
  item: number;
  /** Place from 1. Builds that the choices do not tell apart from the one above share its place. */
  place: number;
  chosen: number;
  offered: number;
  /** Log odds against the average build, and its standard error. */
  ability: number;
  standardError: number;
  /** Chance of being chosen over the build at the top, with its 95 % interval; null for the one at the top. */
  againstTop: { probability: number; interval: [number, number]; distinct: boolean } | null;
}

export interface PreferenceResult {
  ranked: RankedItem[];
  /** False: the choices alone fix no ranking (somebody always won or always lost). */
  determined: boolean;
  /** True if at least one pair is told apart at 95 %. */
  anyDistinct: boolean;
  choices: number;
}

/** Ranks `builds` builds by Bradley–Terry from single choices. */
export function preferenceResult(builds: number, choices: readonly Choice[]): PreferenceResult {
  const wins = Array.from({ length: builds }, () => new Array<number>(builds).fill(0));
  for (const { chosen, over } of choices) wins[chosen][over]++;
  const ranking = bradleyTerry(wins);
  const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
  const order = wins.map((_, i) => i).sort((a, b) => ranking.abilities[b] - ranking.abilities[a]);
  const [top] = order;
  let anyDistinct = false;
  for (let i = 0; i < builds; i++) for (let j = 0; j < i; j++) anyDistinct ||= compareItems(ranking, i, j).distinct;
  let place = 1;
  const ranked = order.map((item, at): RankedItem => {
    if (at > 0 && compareItems(ranking, order[place - 1], item).distinct) place = at + 1;
    const against = compareItems(ranking, item, top);
    const chosen = sum(wins[item]);
    return {
      item,
      place,
      chosen,
      offered: chosen + sum(wins.map(row => row[item])),
      ability: ranking.abilities[item],
      standardError: standardError(ranking, item),
      againstTop:
        item === top
          ? null
          : { probability: against.probability, interval: against.interval, distinct: against.distinct },
    };
  });
  return { ranked, determined: ranking.determined, anyDistinct, choices: ranking.choices };
}
