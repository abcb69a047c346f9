/** What a first visit opens. */
import { type Sheet, VOLUME } from '../sheet.ts';
import { demoBuilds } from './starting-builds.ts';

/** What the demo shows, as its reader might have noted it down. */
const DEMO_NOTE = 'two placements for one neck';

export function demoSheet(): Sheet {
  const [a, b] = demoBuilds();
  return {
    format: 'comb-and-coil/sheet',
    version: 1,
    title: a.instrument.name,
    titleDerived: true,
    note: DEMO_NOTE,
    builds: [
      { letter: 'A', build: a },
      { letter: 'B', build: b },
    ],
    sameInstrument: true,
    take: 'open-strings-strum',
    strings: 'take',
    pluck: null,
    loop: null,
    view: {
      heard: 'A',
      reference: 'A',
      point: 5,
      string: Math.min(6, a.instrument.strings.length),
      fret: 0,
      partial: 5,
      pickup: a.pickups[0].id,
      station: 'cable',
      reading: 'response',
      allStrings: false,
      smoothing: 12,
      levelMatch: true,
      volume: VOLUME.first,
      looping: true,
      units: 'mm',
      sheet: 'auto',
      size: 'desk',
    },
  };
}
