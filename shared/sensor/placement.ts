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
 * Level, window and what a sideways miss costs follow one derived field over the pole pieces (`field.ts`): all pole pieces
 * of a coil, each where it stands, and the string as it runs over them, turned by the pickup's slant.
 */
import { type Build, type Coil, type Instrument, type Pickup, RANGE } from '../document/build.ts';
import { type Faces, type FieldWindow, faceDepth, fieldWindow } from './field.ts';

type Poles = Pickup['poles'];

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
  /** The pole pieces' field along the string. */
  field: FieldWindow;
  /** Distance of string to pole face straight down, m. */
  gap: number;
  /** How far the string runs beside its pole or the middle of its two, m, positive towards the treble; 0 over a rail. */
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
export const isUnder = (coil: Pick<Coil, 'strings'>, index: number): boolean =>
  coil.strings === null || coil.strings.includes(index + 1);

/** How far a rail reaches beyond the outer strings, both ends together, where nobody has measured it, m (from memory). */
const RAIL_OVERHANG = 8e-3;

/** What the outermost poles, or a rail, take beyond the outer strings' places, m. */
const overhang = ({ kind, pair }: Poles): number => (kind === 'two' ? pair : kind === 'rail' ? RAIL_OVERHANG : 0);

/** Distance of the outer strings' poles, or middles of their two poles, m. */
const middlesApart = (poles: Poles): number => Math.max(0, poles.spread - overhang(poles));

/** Distance of neighbouring strings' poles, or middles of their two poles, m. */
export const polePitch = (poles: Poles, count: number): number => middlesApart(poles) / Math.max(1, count - 1);

/** Poles under `count` strings `pitch` m apart. */
export function withPitch(poles: Poles, count: number, pitch: number): Poles {
  const [low, high] = RANGE.poleSpread;
  const spread = pitch * Math.max(1, count - 1) + overhang(poles);
  return { ...poles, spread: Math.min(high, Math.max(low, spread)) };
}

/** Poles of another kind under the same places. */
export const asPoles = (poles: Poles, kind: Poles['kind'], count: number): Poles =>
  withPitch({ ...poles, kind }, count, polePitch(poles, count));

/** Where the pole of string `index`, or the middle of its two, stands along the coil, m. */
export const poleMiddle = (poles: Poles, count: number, index: number): number =>
  (across(count, index) * middlesApart(poles)) / 2;

/** Pole pieces of a coil in its own axes. A rail of a coil under some of the strings is as long as its share of them. */
export function facesOf(pickup: Pick<Pickup, 'poles'>, coil: Pick<Coil, 'strings'>, count: number): Faces {
  const { kind, size, spread, pair } = pickup.poles;
  const under = Array.from({ length: count }, (_, index) => index).filter(index => isUnder(coil, index));
  if (kind === 'rail') {
    const [first, last] = under.length > 0 ? [under[0], under[under.length - 1]] : [0, count - 1];
    const share = spread / count;
    return { shape: 'bar', size, length: (last - first + 1) * share, at: [((count - 1 - first - last) * share) / 2] };
  }
  const sides = kind === 'two' ? [pair / 2, -pair / 2] : [0];
  const at = under.flatMap(index => sides.map(side => poleMiddle(pickup.poles, count, index) + side));
  return { shape: 'disc', size, length: 0, at };
}

/** Where a coil and a string cross, seen from above. */
interface Crossing {
  /** Distance from the string's own saddle, m. */
  x: number;
  /** Along the coil, m. */
  y: number;
  /** Direction of the string against the square to the coil, rad. */
  angle: number;
}

/** Where a coil of a pickup crosses the string at `stringIndex` (0 is string 1). */
export function crossing(instrument: Instrument, pickup: Pickup, coil: Coil, stringIndex: number): Crossing {
  const { saddle, nut } = stringLine(instrument, stringIndex);
  const rise = (nut.y - saddle.y) / (nut.x - saddle.x);
  // The coil's line is x = position + along/cos θ − y tan θ; the string's is y = y_s + rise (x − x_s).
  const tan = Math.tan(pickup.slant);
  const x =
    (pickup.position + coil.along / Math.cos(pickup.slant) - (saddle.y - rise * saddle.x) * tan) / (1 + rise * tan);
  const beyond = x - pickup.position;
  const y = stringAt(instrument, stringIndex, x) * Math.cos(pickup.slant) - beyond * Math.sin(pickup.slant);
  return { x: x - saddle.x, y, angle: Math.atan(rise) - pickup.slant };
}

/** Of each coil, where it last stood: a document's parts are never changed, so the same ones stand alike. */
const lastPlaces = new WeakMap<Coil, { instrument: Instrument; pickup: Pickup; strings: Map<number, CoilOnString> }>();

/** Place and level of one coil of one pickup on the string at `stringIndex` (0 is string 1); kept while all are the same. */
export function coilOnString(
  { instrument }: Pick<Build, 'instrument'>,
  pickup: Pickup,
  coil: Coil,
  stringIndex: number,
): CoilOnString {
  let last = lastPlaces.get(coil);
  if (last?.instrument !== instrument || last.pickup !== pickup)
    lastPlaces.set(coil, (last = { instrument, pickup, strings: new Map() }));
  let place = last.strings.get(stringIndex);
  if (!place) last.strings.set(stringIndex, (place = placeOf(instrument, pickup, coil, stringIndex)));
  return place;
}

function placeOf(instrument: Instrument, pickup: Pickup, coil: Coil, stringIndex: number): CoilOnString {
  const count = instrument.strings.length;
  const side = across(count, stringIndex);
  const { x, y, angle } = crossing(instrument, pickup, coil, stringIndex);

  const faces = facesOf(pickup, coil, count);
  const rail = pickup.poles.kind === 'rail';
  const meant = rail ? faces.at[0] : poleMiddle(pickup.poles, count, stringIndex);
  const gap = pickup.height.treble + ((1 - side) / 2) * (pickup.height.bass - pickup.height.treble);
  const depth = coil.window.depth ?? faceDepth(pickup.poles.size);
  const z = gap + depth;
  const under = isUnder(coil, stringIndex);

  // Where it stands is asked for far more often than what it hears there.
  let known: FieldWindow | null = null;
  const field = (): FieldWindow => (known ??= fieldWindow(faces, { y, angle, z }));
  let level: number | null = null;
  const atReference = () => fieldWindow(faces, { y: meant, angle: 0, z: REFERENCE_HEIGHT + depth });
  return {
    x,
    gap,
    offset: rail ? 0 : (y - meant) * Math.cos(angle),
    get field() {
      return field();
    },
    get level() {
      return (level ??= under ? field().area / atReference().area : 0);
    },
    get alignment() {
      return field().area / fieldWindow(faces, { y: meant, angle, z }).area;
    },
  };
}
