/** What a coil's loss was before: what a person had comes back with its kind. Pure. */
import type { Loss } from '../../../shared/document/build.ts';
import type { Letter, Sheet } from '../../../shared/document/sheet.ts';

/** The last loss of this kind that the coil had in `past`, oldest first; null: it never had one. */
export function earlierLoss(
  past: readonly { before: Sheet }[],
  letter: Letter,
  pickup: string,
  coil: string,
  kind: Loss['kind'],
): Loss | null {
  for (const { before } of past.toReversed()) {
    const build = before.builds.find(slot => slot.letter === letter)?.build;
    const loss = build?.pickups.find(p => p.id === pickup)?.coils.find(c => c.id === coil)?.loss;
    if (loss?.kind === kind) return loss;
  }
  return null;
}
