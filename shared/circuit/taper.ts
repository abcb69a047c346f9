/** Potentiometers: how much of the track lies below the wiper at a rotation, and the two parts of the track. */
import type { Pot } from '../document/build.ts';

/** Fraction of the track at mid-rotation of an audio taper; common values of the trade are 10, 15 and 20 %. */
const MID: Record<Exclude<Pot['taper'], 'linear'>, number> = {
  'audio-10': 0.1,
  'audio-15': 0.15,
  'audio-20': 0.2,
  'reverse-audio-10': 0.1,
};

/** (bˣ − 1)/(b − 1) with b = (1/m − 1)²: the exponential through 0, `mid` at half rotation and 1. */
const exponential = (mid: number, x: number): number => {
  const b = (1 / mid - 1) ** 2;
  return (b ** x - 1) / (b - 1);
};

/** Fraction of the track between its lower end and the wiper at rotation `x`, 0 to 1 (both exact at the ends). */
export function taperFraction(taper: Pot['taper'], x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (taper === 'linear') return x;
  if (taper === 'reverse-audio-10') return 1 - exponential(MID[taper], 1 - x);
  return exponential(MID[taper], x);
}

/** The rotation that puts the given fraction of the track below the wiper: the inverse of `taperFraction`. */
export function taperRotation(taper: Pot['taper'], fraction: number): number {
  if (fraction <= 0) return 0;
  if (fraction >= 1) return 1;
  if (taper === 'linear') return fraction;
  const b = (1 / MID[taper] - 1) ** 2;
  const rotation = (f: number) => Math.log(1 + f * (b - 1)) / Math.log(b);
  return taper === 'reverse-audio-10' ? 1 - rotation(1 - fraction) : rotation(fraction);
}

/** Resistance of the whole track with this part's deviation from nominal, ohm. */
export const track = (pot: Pick<Pot, 'value' | 'deviation'>): number => pot.value * (1 + pot.deviation);

/** Resistance above (`upper`) and below (`lower`) the wiper, ohm. */
export function potParts(pot: Pot): { upper: number; lower: number } {
  const whole = track(pot);
  const fraction = taperFraction(pot.taper, pot.setting);
  return { upper: whole * (1 - fraction), lower: whole * fraction };
}
