/** Edits of the instrument as steps of undo. When all builds share it they all change with it. */
import type { Instrument } from '../../../shared/document/build.ts';
import { store } from '../../state/page.ts';
import { buildOf } from '../../state/store.ts';
import {
  type Follow,
  followAdded,
  followRemoved,
  followReplaced,
  onInstrument,
  type Side,
  withStringAdded,
  withStringRemoved,
} from './instrument-changes.ts';

/** Changes the heard build's instrument, and that of all builds when they share it, as one step. */
export function editInstrument(
  step: string,
  change: (instrument: Instrument) => Instrument,
  follow: Follow = p => p,
  gesture: string | null = null,
): void {
  store.edit(
    step,
    sheet => {
      const { heard } = sheet.view;
      const before = buildOf(sheet, heard).instrument;
      const after = change(before);
      if (after === before) return sheet;
      return {
        ...sheet,
        builds: sheet.builds.map(slot =>
          slot.letter === heard || sheet.sameInstrument
            ? { ...slot, build: onInstrument(slot.build, after, follow) }
            : slot,
        ),
      };
    },
    gesture,
  );
}

/** Turns sharing on (every build gets the heard one's instrument) or off. */
export function shareInstrument(step: string, share: boolean): void {
  store.edit(step, sheet => {
    if (sheet.sameInstrument === share) return sheet;
    const { instrument } = buildOf(sheet, sheet.view.heard);
    return {
      ...sheet,
      sameInstrument: share,
      builds: share
        ? sheet.builds.map(slot =>
            slot.build.instrument === instrument
              ? slot
              : { ...slot, build: onInstrument(slot.build, instrument, followReplaced) },
          )
        : sheet.builds,
    };
  });
}

/** Adds a string at the outside. */
export const addString = (step: string, side: Side): void =>
  editInstrument(step, instrument => withStringAdded(instrument, side), followAdded(side));

export const removeString = (step: string, index: number): void =>
  editInstrument(step, instrument => withStringRemoved(instrument, index), followRemoved(index));
