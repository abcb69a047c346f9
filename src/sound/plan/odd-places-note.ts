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

/** All of them in one line, a phrase a kind; empty: nothing is odd. */
export const oddText = computed((): string => {
  const { units, fret } = view.value;
  const { strings } = heard.value.instrument;
  const kinds = [...new Set(odd.value.map(place => place.kind))];
  const phrases = kinds.map(kind => {
    const places = odd.value.filter(place => place.kind === kind);
    const [first] = places;
    const of = (place: OddPlace) => (place.kind === 'overlap' ? [place.pickup, place.other] : [place.pickup]);
    const names = [...new Set(places.flatMap(of))].map(pickup => pickup.name);
    if (first.kind === 'overlap') return words.odd.overlap(names);
    if (first.kind === 'under-fretboard') return words.odd.underFretboard(names, dimension(first.end, units));
    return words.odd.behindFinger(names, strings[stringIndex.value].name, fret, dimension(first.stopped, units));
  });
  return phrases.length === 0 ? '' : `${words.odd.lead}: ${phrases.join('; ')}.`;
});
