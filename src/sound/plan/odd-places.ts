/** Places where a pickup may stand and which are worth a word all the same: nobody could build it so, or nothing is heard there. */
import type { Build, Instrument, Pickup } from '../../../shared/document/build.ts';
import { coilOnString, isUnder, onPickup, type Point } from '../../../shared/sensor/placement.ts';
import { stoppedLength } from '../../../shared/string/frets.ts';
import { fretboardEnd } from './fretboard.ts';
import { bodyOf, coilOutlines } from './outlines.ts';

export type OddPlace =
  /** All or part of it lies under the fretboard, whose end on the centre line is `end` m from the saddle line. */
  | { kind: 'under-fretboard'; pickup: Pickup; end: number }
  /** The finger stops the string `stopped` m from its saddle, nearer than a coil of the pickup stands. */
  | { kind: 'behind-finger'; pickup: Pickup; stopped: number }
  /** Two pickups claim the same room. */
  | { kind: 'overlap'; pickup: Pickup; other: Pickup };

/** Corners of a pickup as it is drawn, round its body. */
function cornersOf(instrument: Instrument, pickup: Pickup): Point[] {
  const { from, to, bass, treble } = bodyOf(coilOutlines(instrument, pickup));
  return [
    [from, bass],
    [to, bass],
    [to, treble],
    [from, treble],
  ].map(([along, beside]) => onPickup(pickup, along, beside));
}

/** x of a line across the strings (treble side first) at `y`; beyond its ends that of the end. */
function lineAt(line: readonly Point[], y: number): number {
  const next = line.findIndex(point => point.y <= y);
  if (next <= 0) return (next === 0 ? line[0] : line[line.length - 1]).x;
  const [a, b] = [line[next - 1], line[next]];
  return a.x + ((b.x - a.x) * (a.y - y)) / (a.y - b.y);
}

/** Whether two rectangles share room: no side of either has all corners of the other beyond it. */
function overlap(one: readonly Point[], other: readonly Point[]): boolean {
  const parted = (a: Point, b: Point): boolean => {
    const shadow = (corners: readonly Point[]) => corners.map(p => p.x * (b.x - a.x) + p.y * (b.y - a.y));
    const [s, t] = [shadow(one), shadow(other)];
    return Math.max(...s) <= Math.min(...t) || Math.max(...t) <= Math.min(...s);
  };
  return ![one, other].some(([a, b, c]) => parted(a, b) || parted(b, c));
}

/** What is odd about the places of a build's pickups while string `string` (index) is stopped at `fret`. */
export function oddPlaces(
  { instrument, pickups }: Pick<Build, 'instrument' | 'pickups'>,
  string: number,
  fret: number,
) {
  const corners = pickups.map(pickup => cornersOf(instrument, pickup));
  const end = fretboardEnd(instrument);
  const stopped = stoppedLength(instrument.strings[string].scale, fret);
  return pickups.flatMap((pickup, i): OddPlace[] => {
    const behind = pickup.coils.some(
      coil => isUnder(coil, string) && coilOnString({ instrument }, pickup, coil, string).x >= stopped,
    );
    return [
      ...(end && corners[i].some(({ x, y }) => x > lineAt(end, y))
        ? [{ kind: 'under-fretboard' as const, pickup, end: lineAt(end, 0) }]
        : []),
      ...(behind ? [{ kind: 'behind-finger' as const, pickup, stopped }] : []),
      ...pickups
        .slice(i + 1)
        .filter((_, k) => overlap(corners[i], corners[i + 1 + k]))
        .map(other => ({ kind: 'overlap' as const, pickup, other })),
    ];
  });
}
