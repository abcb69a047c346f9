/** Names of pitches in scientific notation, equal temperament, A4 = 440 Hz. */

const NAMES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'] as const;

/** Semitones above C−1 of a pitch, a real number. */
const semitones = (pitch: number): number => 69 + 12 * Math.log2(pitch / 440);

/** Nearest note of a pitch: `E2`. */
export function noteNameOf(pitch: number): string {
  const note = Math.round(semitones(pitch));
  return `${NAMES[((note % 12) + 12) % 12]}${Math.floor(note / 12) - 1}`;
}

/** How far a pitch lies above its nearest note, cents. */
export const centsOff = (pitch: number): number => 100 * (semitones(pitch) - Math.round(semitones(pitch)));
