/** What refuses a sound file says, apart from what reads one: whoever shows it need not load the reader. */

/** Why a file was refused, in sentences for the person who brought it: what was wrong, and what would work. */
export class WavError extends Error {
  override name = 'WavError';
  /** Seconds of sound that `allowCut` would still read, if the file only ends too early. */
  readonly readable: number;
  constructor(message: string, readable = 0) {
    super(message);
    this.readable = readable;
  }
}
