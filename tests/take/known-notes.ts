/** Modelled notes through a modelled pickup, with the places known: the ground truth for estimates. */
import { RealFft } from '../../shared/audio/fft.ts';
import type { Build } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { response } from '../../shared/response/response.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { stringModel } from '../../shared/string/stiff.ts';
import { lossesOf } from '../../shared/take/losses.ts';
import { pluckedNote } from '../../shared/take/modal.ts';
import { normal, uniform } from '../../shared/take/random.ts';

export const RATE = 48000;
const SIZE = 32768;
const fft = new RealFft(SIZE);
const frequencies = Float64Array.from({ length: fft.bins }, (_, i) => (i * RATE) / SIZE);
export const guitar = STRING_SETS[0].instrument;

export interface KnownNote {
  string: number;
  fret: number;
  /** Share of the sounding length. */
  pluck: number;
  /** m. */
  pickup: number;
  seed: number;
  /** Signal over noise, dB. */
  snr: number;
}

/** A build with one single coil at `position`, through coil, pots and cable. */
export const buildAt = (position: number): Build => {
  const single = demoBuilds().find(build => build.pickups.some(pickup => pickup.kind === 'single')) ?? demoBuilds()[0];
  const [pickup] = single.pickups;
  return { ...single, instrument: guitar, pickups: [{ ...pickup, position, slant: 0 }] };
};

const builds = new Map<number, Build>();

/** The voltage of a note at the end of the chain, with white noise, from the pluck on. */
export const knownNote = ({ string, fret, pluck, pickup, seed, snr }: KnownNote): Float32Array => {
  const random = uniform(seed);
  const spec = guitar.strings[string];
  const s = stringModel(spec);
  const length = 0.648 * 2 ** (-fret / 12);
  const force = pluckedNote(
    s,
    lossesOf(spec, 'guitar', fret),
    {
      fret,
      at: pluck * length,
      force: 0.02 * s.tension,
      width: 1e-3 + 2e-3 * random(),
      release: 0.2e-3 + 0.4e-3 * random(),
      pull: 2.5 / (s.f0 * 2 ** (fret / 12)),
      second: { share: 0.1 + 0.1 * random(), detune: 2e-4 + 4e-4 * random(), decay: 1.3 + 0.4 * random() },
    },
    Math.round(0.6 * RATE),
    RATE,
  );
  let build = builds.get(pickup);
  if (!build) builds.set(pickup, (build = buildAt(pickup)));
  const spectrum = fft.spectrum();
  fft.forward(spectrum, force);
  const h = response(build, string, 5, frequencies);
  // Late by 10 ms, so that the wave that reaches the pickup first has room.
  const delay = 0.01;
  for (let i = 0; i < fft.bins; i++) {
    const [c, d] = [Math.cos(2 * Math.PI * frequencies[i] * delay), -Math.sin(2 * Math.PI * frequencies[i] * delay)];
    const [hr, hi] = [h.re[i] * c - h.im[i] * d, h.re[i] * d + h.im[i] * c];
    const [re, im] = [spectrum.re[i], spectrum.im[i]];
    spectrum.re[i] = re * hr - im * hi;
    spectrum.im[i] = re * hi + im * hr;
  }
  const out = new Float64Array(SIZE);
  fft.inverse(out, spectrum);
  const note = out.subarray(0, Math.round(0.55 * RATE));
  const rms = Math.sqrt(note.reduce((sum, v) => sum + v * v, 0) / note.length);
  const gauss = normal(seed + 1);
  return Float32Array.from(note, v => v + rms * 10 ** (-snr / 20) * gauss());
};
