/** The view, kept on what is there. */
import type { Sheet, View } from './sheet.ts';

/** The view with every choice that `sheet` does not offer replaced by one that it does; the same object when it fits. */
export function fitView(sheet: Sheet, view: View): View {
  const letters = sheet.builds.map(slot => slot.letter);
  const heard = letters.includes(view.heard) ? view.heard : letters[0];
  const reference = letters.includes(view.reference) ? view.reference : letters[0];
  const { pickups, instrument } = (sheet.builds.find(slot => slot.letter === heard) ?? sheet.builds[0]).build;
  const pickup = pickups.some(p => p.id === view.pickup) ? view.pickup : pickups[0].id;
  const string = Math.min(view.string, instrument.strings.length);
  const fret = Math.min(view.fret, instrument.frets);
  const fits = { heard, reference, pickup, string, fret };
  const same = (Object.keys(fits) as (keyof typeof fits)[]).every(key => fits[key] === view[key]);
  return same ? view : { ...view, ...fits };
}

/**
 * The view when `to` takes the place of `from` again: as it is, but what `from` had forced out of the view of `to`, and
 * nobody has chosen otherwise since, comes back, and what `to` does not have gives way to what was looked at then.
 */
export function viewBack(from: Sheet, to: Sheet): View {
  const forced = fitView(from, to.view);
  const fits = fitView(to, from.view);
  const choices = ['heard', 'reference', 'pickup', 'string', 'fret'] as const;
  const back = choices.filter(
    key => fits[key] !== from.view[key] || (forced[key] !== to.view[key] && from.view[key] === forced[key]),
  );
  return fitView(to, { ...from.view, ...Object.fromEntries(back.map(key => [key, to.view[key]])) });
}
