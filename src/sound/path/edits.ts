/** Edits of the heard build by the place of the value. */

import { withHarness } from '../../../shared/document/edits/changes.ts';
import { withValueAt } from '../../../shared/document/pointer.ts';
import { editHeard, store } from '../../state/page.ts';

/** Puts `value` at `pointer` of the heard build as a step called `name`. */
export const editAt = (name: string, pointer: string, value: unknown, gesture: string | null = null): void =>
  editHeard(name, build => withValueAt(build, pointer, value), gesture && `${pointer} ${gesture}`);

export const endGesture = (): void => store.endGesture();

/** Chooses a selector position of the heard build; `n` counts from 0. A position that is not there changes nothing. */
export function selectPosition(n: number): void {
  editHeard('choose selector position', build =>
    n >= 0 && n < build.harness.positions.length && n !== build.harness.selected
      ? withHarness(build, harness => ({ ...harness, selected: n }))
      : build,
  );
}
