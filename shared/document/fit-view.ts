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
