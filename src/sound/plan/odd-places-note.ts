/** What is odd about the places of the heard build's pickups, in words. */
import { computed } from '@preact/signals-core';
import { heard, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/plan-words.ts';
import { type OddPlace, oddPlaces } from './odd-places.ts';
import { dimension } from './plan-figures.ts';

export const odd = computed(() =>
  oddPlaces(heard.value, stringIndex.value, Math.min(view.value.fret, heard.value.instrument.frets)),
);

/** Whether one of them is about the pickup. */
export const isOdd = (places: readonly OddPlace[], id: string): boolean =>
  places.some(place => place.pickup.id === id || (place.kind === 'overlap' && place.other.id === id));

function sentence(place: OddPlace): string {
  const { name } = place.pickup;
  const { units, fret } = view.value;
  if (place.kind === 'overlap') return words.odd.overlap(name, place.other.name);
  if (place.kind === 'under-fretboard') return words.odd.underFretboard(name, dimension(place.end, units));
  const string = heard.value.instrument.strings[stringIndex.value].name;
  return words.odd.behindFinger(name, string, fret, dimension(place.stopped, units));
}

/** All of them in one line; empty: nothing is odd. */
export const oddText = computed(() =>
  odd.value.length === 0 ? '' : `${words.odd.lead}: ${odd.value.map(sentence).join('; ')}.`,
);
