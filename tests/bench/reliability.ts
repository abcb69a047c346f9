/**
 * How often a stated confidence is right: estimates from modelled sessions of one to eight notes on one to three strings,
 * with noise, hum, muted ends and plucks that wander or stay. `npx tsx tests/bench/reliability.ts [sessions] [seed]`
 */
import { notePartials } from '../../shared/take/estimate/partials.ts';
import { REACH } from '../../shared/take/estimate/pickup-place.ts';
import { uniform } from '../../shared/take/random.ts';
import { placesOf } from '../take/accuracy.ts';
import { knownNote, RATE } from '../take/known-notes.ts';

const [sessions = 200, seed = 1] = process.argv.slice(2).map(Number);
const random = uniform(seed);
const results: { confidence: number; error: number; notes: number }[] = [];
let read = 0;
for (let s = 0; s < sessions; s++) {
  const pickup = 0.648 * (0.04 + 0.26 * random());
  const strings = Array.from({ length: 1 + Math.floor(3 * random()) }, () => Math.floor(6 * random()));
  const hand = 0.06 + 0.2 * random();
  const wander = random() < 0.2 ? 0.002 : 0.03;
  const notes = Array.from({ length: 1 + Math.floor(8 * random()) }, () => {
    const string = strings[Math.floor(strings.length * random())];
    const fret = Math.floor(13 * random());
    const length = 0.648 * 2 ** (-fret / 12);
    const pluck = Math.min(0.45, Math.max(0.04, (hand + wander * (random() + random() - 1)) * (0.648 / length)));
    const x = knownNote({ string, fret, pluck, pickup, seed: Math.floor(1e9 * random()), snr: 20 + 40 * random() });
    const hum = random() < 0.3 ? 0.01 * random() : 0;
    const muted = random() < 0.2 ? (0.15 + 0.3 * random()) * RATE : Number.POSITIVE_INFINITY;
    const peak = x.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    for (let i = 0; i < x.length; i++) {
      if (i > muted) x[i] *= Math.exp(-(i - muted) / (0.01 * RATE));
      for (const k of [1, 2, 3, 5]) x[i] += (hum * peak * Math.sin((2 * Math.PI * 50 * k * i) / RATE)) / k;
    }
    try {
      read++;
      const partials = notePartials(x, RATE, { pitch: null, inharmonicity: null });
      return partials.level.length < 6 ? null : { string: string + 1, length, partials };
    } catch {
      return null;
    }
  }).filter(note => note !== null);
  if (notes.length === 0) continue;
  const found = placesOf(notes);
  const error = Math.abs(found.pickup.distance - pickup);
  results.push({ confidence: found.pickup.confidence, error, notes: notes.length });
}
const refused = read - results.reduce((sum, one) => sum + one.notes, 0);
console.log(`${results.length} sessions, ${read} notes, ${refused} refused`);
console.log('confidence   sessions   mean   right within 3 mm');
for (let decile = 0; decile < 10; decile++) {
  const here = results.filter(one => Math.min(9, Math.floor(10 * one.confidence)) === decile);
  if (here.length === 0) continue;
  const mean = here.reduce((sum, one) => sum + one.confidence, 0) / here.length;
  const right = here.filter(one => one.error <= REACH).length / here.length;
  console.log(
    `${decile * 10} to ${decile * 10 + 10} %`.padEnd(12),
    String(here.length).padStart(8),
    `${(100 * mean).toFixed(0)} %`.padStart(7),
    `${(100 * right).toFixed(0)} %`.padStart(6),
  );
}
const sure = results.filter(one => one.confidence > 0.9);
console.log(`above 90 %: ${sure.filter(one => one.error > REACH).length} of ${sure.length} wrong by more than 3 mm`);
