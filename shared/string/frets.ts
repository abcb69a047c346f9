/** Fret positions of twelve-tone equal temperament. */

/** Speaking length when stopped at `fret`, m: L 2^(−q/12). */
export const stoppedLength = (scale: number, fret: number): number => scale * 2 ** (-fret / 12);

/** Distance of `fret` from the nut, m. */
export const fretFromNut = (scale: number, fret: number): number => scale - stoppedLength(scale, fret);
