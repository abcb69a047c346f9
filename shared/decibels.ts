/** Decibels, named by what they are taken of: an amplitude (pressure, voltage, force) or a power. */

/** Level of an amplitude ratio, dB; −Infinity for 0. */
export const dbOfAmplitude = (ratio: number): number => 20 * Math.log10(ratio);

/** Level of a power ratio, dB; −Infinity for 0. */
export const dbOfPower = (ratio: number): number => 10 * Math.log10(ratio);

/** Amplitude ratio of a level in dB. */
export const amplitudeOfDb = (dB: number): number => 10 ** (dB / 20);

/** Power ratio of a level in dB. */
export const powerOfDb = (dB: number): number => 10 ** (dB / 10);
