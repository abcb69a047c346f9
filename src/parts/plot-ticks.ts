/** Where rulings and labels stand, and how numbers on a plot are written. Pure. */
import type { Axis } from './plot-scale.ts';

export interface Tick {
  value: number;
  /** Empty: a ruling without a label. */
  label: string;
}

const minus = (text: string): string => text.replace('-', '−');

/** `100`, `2 k`, `10 M`: a value on an axis with its SI prefix. */
export function axisNumber(value: number): string {
  const size = Math.abs(value);
  const [step, prefix] = size >= 1e6 ? [1e6, ' M'] : size >= 1e3 ? [1e3, ' k'] : [1, ''];
  return minus(`${Number((value / step).toPrecision(6))}${prefix}`);
}

/** Rulings at every whole multiple of a power of ten; labels at 1, 2 and 5 where a decade is wide enough for them. */
export function logTicks(axis: Axis, pixels: number): Tick[] {
  const low = Math.min(axis.from, axis.to);
  const high = Math.max(axis.from, axis.to);
  const perDecade = pixels / Math.log10(high / low);
  const labelled = perDecade >= 84 ? [1, 2, 5] : perDecade >= 52 ? [1, 3] : [1];
  const ticks: Tick[] = [];
  for (let decade = Math.floor(Math.log10(low)); decade <= Math.ceil(Math.log10(high)); decade++)
    for (let digit = 1; digit <= 9; digit++) {
      // through text, so that 2e-1 is 0.2 and 3e2 is 300 to the last bit
      const value = Number(`${digit}e${decade}`);
      if (value < low * (1 - 1e-9) || value > high * (1 + 1e-9)) continue;
      ticks.push({ value, label: labelled.includes(digit) ? axisNumber(value) : '' });
    }
  return ticks;
}

const LINEAR_STEPS = [1, 2, 5];
/** Steps of an axis in dB. */
export const LEVEL_STEPS = [0.1, 0.2, 0.5, 1, 2, 3, 6, 12, 24, 48] as const;
/** Steps of an axis in degrees. */
export const ANGLE_STEPS = [15, 30, 45, 90, 180] as const;

/**
 * Rulings at multiples of the smallest step that leaves `room` pixels between two labels: of `steps`, or of
 * 1, 2, 5 times a power of ten when there are none.
 */
export function linearTicks(axis: Axis, pixels: number, room: number, steps: readonly number[] = []): Tick[] {
  const low = Math.min(axis.from, axis.to);
  const high = Math.max(axis.from, axis.to);
  const least = ((high - low) * room) / Math.max(1, pixels);
  const power = 10 ** Math.floor(Math.log10(least));
  const candidates = steps.length ? steps : [...LINEAR_STEPS, 10].map(digit => digit * power);
  const step = candidates.find(candidate => candidate >= least * (1 - 1e-9)) ?? candidates[candidates.length - 1];
  const ticks: Tick[] = [];
  for (let i = Math.ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i++) {
    const value = Number((i * step).toPrecision(12));
    ticks.push({ value, label: axisNumber(value) });
  }
  return ticks;
}

/** `+3.7`, `−10.2`, `0.0`: a level or a difference with one decimal, or the number of them asked for. */
export function signedNumber(value: number, digits = 1, plus = false): string {
  if (Number.isNaN(value)) return '–';
  if (!Number.isFinite(value)) return value < 0 ? '−∞' : '∞';
  const text = value.toFixed(digits);
  if (Number(text) === 0) return text.replace('-', '');
  return value > 0 && plus ? `+${text}` : minus(text);
}

/** Groups of three digits with thin no-break spaces: `3 730`. */
const grouped = (text: string): string => text.replace(/\B(?=(\d{3})+(?!\d))/g, '\u202f');

/** A frequency as a read-out shows it, to four figures below 1 kHz and to 1 Hz below 10 kHz: `82.41 Hz`, `3 730 Hz`. */
export function frequencyText(hz: number): string {
  if (!Number.isFinite(hz)) return '–';
  if (hz < 100) return `${hz.toFixed(2)} Hz`;
  if (hz < 1000) return `${hz.toFixed(1)} Hz`;
  return `${grouped(String(hz < 10_000 ? Math.round(hz) : Math.round(hz / 10) * 10))} Hz`;
}

/** Nominal centre of a third-octave band as IEC 61260-1 rounds it: 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8. */
const NOMINAL = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8] as const;

/** Third-octave centres from `low` to `high` Hz: exact value 1000 · 10^(x/10) and nominal name (IEC 61260-1). */
export function thirdOctaves(low: number, high: number): { exact: number; nominal: number }[] {
  const bands: { exact: number; nominal: number }[] = [];
  for (let x = Math.ceil(10 * Math.log10(low / 1000) - 0.05); x <= 10 * Math.log10(high / 1000) + 0.05; x++) {
    const decade = Math.floor(x / 10);
    bands.push({ exact: 1000 * 10 ** (x / 10), nominal: Number(`${NOMINAL[x - 10 * decade]}e${decade + 3}`) });
  }
  return bands;
}
