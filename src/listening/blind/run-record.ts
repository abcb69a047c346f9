/** A finished run as it is kept with the builds. */
import type { Run } from '../../../shared/document/sheet.ts';
import { trialsOf } from './blind-run.ts';
import type { Trial } from './blind-trial.ts';

/** `builds` in the order in which the run's answers name them. @throws if the run is not finished */
export function recordOf(
  run: Trial['run'],
  builds: Run['builds'][number][],
  setting: Pick<Run, 'at' | 'take' | 'point'>,
): Run {
  if (run.kind === 'preference') return { kind: 'preference', ...setting, builds, choices: [...run.run.choices] };
  const trials = trialsOf(run.run);
  if (!trials) throw new RangeError('a run without its last answer is no record');
  return { kind: 'blind', ...setting, builds: [builds[0], builds[1]], trials };
}
