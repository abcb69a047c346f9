/**
 * Where each coil stands under each string.
 *
 * Seen from above, a string is a straight line from its place at the saddle to its place at the nut; strings stand at
 * equal distances at both ends and converge. A pickup is a rigid body turned about its centre on the centre line; a
 * coil is a line across it. The coil senses the string where the two lines cross.
 *
 * Distances are measured along the centre line, as scale lengths are laid out. Strings converge by less than half a
 * degree, and x/scale, all that the comb depends on, is the same along the string itself.
 *
 * Levels follow one derived law (no measurement behind it, real pickups differ): the sensitivity of one magnetic pole
 * at depth h, a distance e beside the string, is S(u) ∝ h (u² + e² + h²)^−3 along the string. Its integral,
 * h (h² + e²)^(−5/2), is the level: h^−4 over the pole and a further (1 + (e/h)²)^(−5/2) beside it; its shape is that of
 * a pole at depth √(h² + e²), so a string that misses its pole is also sensed over a greater length.
 */
import type { Build, Coil, Instrument, Pickup } from '../document/build.ts';

/** A point seen from above, m: x from the saddle line towards the nut, y from the centre line towards the treble. */
export interface Point {
  x: number;
  y: number;
}

/** Distance of string to pole face, m, at which a coil's `sensitivity` is stated. */
export const REFERENCE_HEIGHT = 2.5e-3;

/** What one coil is to one string. */
export interface CoilOnString {
  /** Distance from the string's own saddle to where the coil crosses it, m. */
  x: number;
  /** Height to give `windowGain`, m: the distance to the pole face, made longer by a sideways miss. */
  height: number;
  /** Distance of string to pole face straight down, m. */
  gap: number;
  /** How far the string runs beside its pole, m, positive towards the treble; 0 over a rail. */
  offset: number;
  /** Sensitivity against that at the reference distance, linear; 0 where the coil is not under the string. */
  level: number;
  /** What running beside the poles costs, a linear factor that is part of `level`; 1 where the string runs as meant. */
  alignment: number;
}

/** −1 at the last (bass) string … 1 at string 1; 0 for a single string. */
const across = (count: number, index: number): number => (count > 1 ? 1 - (2 * index) / (count - 1) : 0);

/** Ends of a string seen from above. */
export function stringLine(instrument: Instrument, index: number): { saddle: Point; nut: Point } {
  const { strings, spread } = instrument;
  const side = across(strings.length, index) / 2;
  const { saddle, scale } = strings[index];
  return { saddle: { x: saddle, y: side * spread.saddle }, nut: { x: saddle + scale, y: side * spread.nut } };
}

/** How far from the centre line a string runs at `x` m from the saddle line, m. */
export function stringAt(instrument: Instrument, index: number, x: number): number {
  const { saddle, nut } = stringLine(instrument, index);
  return saddle.y + ((nut.y - saddle.y) * (x - saddle.x)) / (nut.x - saddle.x);
}

/** The point `along` m towards the nut and `beside` m towards the treble on the body of a turned pickup. */
export function onPickup(pickup: Pickup, along: number, beside: number): Point {
  const cos = Math.cos(pickup.slant);
  const sin = Math.sin(pickup.slant);
  return { x: pickup.position + along * cos - beside * sin, y: along * sin + beside * cos };
}

/** Whether a coil lies under a string. */
export const isUnder = (coil: Coil, index: number): boolean =>
  coil.strings === null || coil.strings.includes(index + 1);

/** Distance of neighbouring poles of a pickup, m. */
const polePitch = (pickup: Pickup, count: number): number =>
  count > 1 ? pickup.poles.spread / (count - 1) : pickup.poles.spread;

/**
 * Where the poles of one string stand beside its place in the row, m. Two poles per string stand a quarter of the pole
 * distance to either side, as they do where the string is meant to run between them.
 */
const poleSides = (pickup: Pickup, count: number): number[] => {
  const quarter = polePitch(pickup, count) / 4;
  return pickup.poles.kind === 'two' ? [-quarter, quarter] : [0];
};

/** Pole pieces of a coil seen from above, those of string 1 first; none for a rail. */
export function polePoints(instrument: Instrument, pickup: Pickup, coil: Coil): Point[] {
  const count = instrument.strings.length;
  if (pickup.poles.kind === 'rail') return [];
  return instrument.strings.flatMap((_, index) =>
    isUnder(coil, index)
      ? poleSides(pickup, count).map(side =>
          onPickup(pickup, coil.along, (across(count, index) * pickup.poles.spread) / 2 + side),
        )
      : [],
  );
}

/** Level of poles `misses` m beside the string at depth `h` m: Σ h (h² + e²)^(−5/2). */
const poleLevel = (h: number, misses: number[]): number =>
  misses.reduce((sum, e) => sum + h * (h * h + e * e) ** -2.5, 0);

/** Place and level of one coil of one pickup on the string at `stringIndex` (0 is string 1). */
export function coilOnString(
  build: Pick<Build, 'instrument'>,
  pickup: Pickup,
  coil: Coil,
  stringIndex: number,
): CoilOnString {
  const { instrument } = build;
  const count = instrument.strings.length;
  const { saddle, nut } = stringLine(instrument, stringIndex);
  const rise = (nut.y - saddle.y) / (nut.x - saddle.x);
  const side = across(count, stringIndex);

  // The coil's line is x = position + along/cos θ − y tan θ; the string's is y = y_s + rise (x − x_s).
  const tan = Math.tan(pickup.slant);
  const crossing =
    (pickup.position + coil.along / Math.cos(pickup.slant) - (saddle.y - rise * saddle.x) * tan) / (1 + rise * tan);

  const pole = onPickup(pickup, coil.along, (side * pickup.poles.spread) / 2);
  const slope = Math.hypot(1, rise);
  const offset = pickup.poles.kind === 'rail' ? 0 : (stringAt(instrument, stringIndex, pole.x) - pole.y) / slope;

  const gap = pickup.height.treble + ((1 - side) / 2) * (pickup.height.bass - pickup.height.treble);
  const depth = coil.window.depth;
  const h = gap + depth;
  const sides = poleSides(pickup, count);
  const misses = sides.map(s => offset - s);
  const atReference = poleLevel(REFERENCE_HEIGHT + depth, sides);

  // Two poles: the mean of the squared distances, each counted by what it contributes.
  const spreadOut = misses.map(e => (h * h + e * e) ** -2.5);
  const weight = spreadOut.reduce((a, b) => a + b, 0);
  const missSquared = misses.reduce((sum, e, i) => sum + spreadOut[i] * e * e, 0) / weight;

  return {
    x: crossing - saddle.x,
    height: missSquared > 0 ? Math.sqrt(h * h + missSquared) - depth : gap,
    gap,
    offset,
    level: isUnder(coil, stringIndex) ? poleLevel(h, misses) / atReference : 0,
    alignment: poleLevel(h, misses) / poleLevel(h, sides),
  };
}
