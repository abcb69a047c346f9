/** How the readings stand beyond what the sheet keeps: scales, ranges, sub-choices. They come back to these on reload. */
import { signal } from '@preact/signals-core';

/** 0 dB is the reference build, or one unit of the quantity itself. */
export const absolute = signal(false);

export const X_RANGES = { whole: [20, 20_000], low: [20, 2000], high: [1000, 20_000] } as const;
export type XRange = keyof typeof X_RANGES;
export const xRange = signal<XRange>('whole');

/** Heights of the level axis, dB. */
export const SPANS = [48, 72, 96] as const;
export const span = signal<number>(48);
/** Half heights of the difference axis, dB. */
export const DIFFERENCE_SPANS = [3, 6, 12, 24] as const;
export const differenceSpan = signal<number>(12);

export const liveWanted = signal(true);
export const withPluck = signal(false);

/** Impedance seen at the output, or at the terminals of the pickup with this id. */
export const impedanceAt = signal<string | null>(null);
export const impedancePhase = signal(false);

/** The plot is shown as a table. */
export const asFigures = signal(false);
