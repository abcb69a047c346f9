/** Edits of the heard build by the place of the value. */
import { selectPosition as selected } from '../../../shared/document/edits/selector.ts';
import { setValue } from '../../../shared/document/edits/value.ts';
import { editHeard, store } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';

/** Puts `value` at `pointer` of the heard build as a step called `name`. */
export const editAt = (name: string, pointer: string, value: unknown, gesture: string | null = null): void =>
  editHeard(name, build => setValue(build, pointer, value), gesture && `${pointer} ${gesture}`);

export const endGesture = (): void => store.endGesture();

/** Chooses a selector position of the heard build; `n` counts from 0. A position that is not there changes nothing. */
export const selectPosition = (n: number): void => editHeard(words.selectStep, build => selected(build, n));
