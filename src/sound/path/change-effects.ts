/** The figures that a change moved, in words, and what listeners would say of it. Pure. */

import { together } from '../../../shared/circuit/selector-table.ts';
import { power } from '../../../shared/complex.ts';
import { dbOfPower, powerOfDb } from '../../../shared/decibels.ts';
import { type Build, isBehindNetwork, isVoltage } from '../../../shared/document/build.ts';
import type { Dip } from '../../../shared/response/dips.ts';
import { figureGrid } from '../../../shared/response/figure-grid.ts';
import { type BuildFigures, buildFigures } from '../../../shared/response/figures.ts';
import { BAND_STEP, LEVEL_STEP, reaches, resonanceShift } from '../../../shared/response/noticeable.ts';
import { figureValue } from '../../../shared/response/quantities.ts';
import { response } from '../../../shared/response/response.ts';
import { type SpectrumStep, spectrumStep } from '../../../shared/response/spectrum-step.ts';
import { matchingString } from '../../../shared/string/matching.ts';
import {
  decibelText,
  depthText,
  dipText,
  frequencyText,
  humText,
  modelledIf,
  modelledText,
} from '../../parts/figure-text.ts';
import { words } from '../../words/path-words.ts';
import { words as quantityWords } from '../../words/quantity-words.ts';
import { apertureCorner, unlikeFields } from './aperture-figures.ts';
import { type Looked, spokenPickup } from './station-figures.ts';

export interface Effects {
  effects: string[];
  /** Whether it is likely to be heard; empty: nothing to say. */
  heard: string;
  /** Most that the string's response moves from 20 Hz to 10 kHz, dB, and where. */
  residue: { most: number; at: string };
}

/** Least changes that are worth a word: of a frequency, as a part of it, and of levels, dB. */
const FREQUENCY = 0.002;
const LEVEL = 0.05;
const OCTAVE = 0.5;
const DEPTH = 1;
/** Level below which a build has as good as nothing left to compare, dB below the other. */
const FAINT = 40;
/** Parts of a response this far under its highest point are left out, dB. */
const BURIED = 60;

/** Frequencies that differ, and are seen to. */
const moved = (a: number, b: number): boolean =>
  Math.abs(Math.log(b / a)) > FREQUENCY && frequencyText(a) !== frequencyText(b);

/** Two frequencies in the unit of the larger: `3.73 → 4.19 kHz`. */
const pairText = (a: number, b: number): [string, string] => {
  const [first, second] = [frequencyText(a), frequencyText(b)];
  const unit = second.slice(second.indexOf(' '));
  return [first.endsWith(unit) ? first.slice(0, -unit.length) : first, second];
};
const decibelPair = (a: number, b: number): [string, string] => [decibelText(a).replace(' dB', ''), decibelText(b)];

function resonanceEffects(a: BuildFigures, b: BuildFigures): string[] {
  const [was, is] = [a, b].map(one => figureValue(one.figures, 'resonance'));
  const { effects } = words;
  if (was === null && is === null) return [];
  if (was === null) return [effects.resonanceNew(frequencyText(is!))];
  if (is === null) return [effects.resonanceGone(frequencyText(was))];
  const [p, q] = [a, b].map(one => figureValue(one.figures, 'peak')!);
  return [
    ...(moved(was, is) ? [effects.resonance(...pairText(was, is))] : []),
    ...(Math.abs(q - p) > LEVEL && decibelText(p) !== decibelText(q) ? [effects.peak(...decibelPair(p, q))] : []),
  ];
}

/** A dip with its depth; where unlike pickups mix, it hangs on the field model. */
type DipText = (dip: Dip) => string;

const sameDip = (a: Dip, b: Dip): boolean =>
  !moved(a.frequency, b.frequency) &&
  (depthText(a.depth) === depthText(b.depth) || (!a.complete && !b.complete && Math.abs(a.depth - b.depth) < DEPTH));

/** The first dip that is not where it was, or not as deep. */
function dipEffect(a: readonly Dip[], b: readonly Dip[], was: DipText, is: DipText): string[] {
  const { effects } = words;
  const n = a.findIndex((dip, i) => b[i] === undefined || !sameDip(dip, b[i]));
  if (n < 0) return b.length > a.length ? [effects.dipNew(is(b[a.length]))] : [];
  const stays = b.find(dip => sameDip(dip, a[n]));
  if (stays) return [effects.dipNew(is(b[n]))];
  if (b[n] === undefined || a.slice(n + 1).some(dip => sameDip(dip, b[n]))) return [effects.dipGone(was(a[n]))];
  return [effects.dip(words.nth(n), was(a[n]), is(b[n]))];
}

/** The octaves against 250 Hz that rise and that fall most: one alone would hide that a sound gets duller and airier. */
function octaveEffect(a: BuildFigures, b: BuildFigures, mixed: boolean): string[] {
  const pairs = a.figures.flatMap((one, i) => {
    const other = b.figures[i];
    return one.quantity === 'octave' && one.value !== null && other.value !== null
      ? [{ octave: one.at.octave!, step: other.value - one.value }]
      : [];
  });
  const steps = pairs.map(one => one.step);
  const ends = [Math.min(0, ...steps), Math.max(0, ...steps)];
  const moved = pairs.filter(({ step }) => Math.abs(step) >= OCTAVE && ends.includes(step));
  return moved.length > 0
    ? [
        words.effects.octaves(
          moved.map(({ octave, step }) => [octave / 1000, modelledIf(mixed, decibelText(step))] as const),
        ),
      ]
    : [];
}

/** Whether coils that added now work against each other, or the other way round. */
function phaseEffects(before: Build, after: Build): string[] {
  if (before.harness === after.harness && before.pickups === after.pickups) return [];
  const [was, is] = [together(before, 0).phase, together(after, 0).phase];
  if (is === 'out' && was !== 'out') return [words.effects.outOfPhase];
  return was === 'out' && is === 'in' ? [words.effects.inPhase] : [];
}

/** Hum that begins or ceases to cancel, or moves otherwise than the level does. */
function humEffect(was: number | null, is: number | null, level: number): string[] {
  if (was === null || is === null || humText(was) === humText(is) || Math.abs(level) > FAINT) return [];
  if (!Number.isFinite(is)) return [words.effects.humCancels];
  if (!Number.isFinite(was)) return [words.effects.humReturns];
  return Math.abs(is - was - level) > OCTAVE ? [words.effects.hum(humText(was).replace(' dB', ''), humText(is))] : [];
}

function apertureEffect(before: Looked, after: Looked): string[] {
  if (!isVoltage(after.point)) return [];
  const [was, is] = [before, after].map(look => apertureCorner(look.build, spokenPickup(look), look.string));
  if (was === null || is === null || !moved(was, is)) return [];
  const [from, to] = pairText(was, is).map(modelledText);
  return [words.effects.aperture(from, to)];
}

/** Whether a step in level hangs on the field over the poles: pickups of unlike gaps, poles or depths come into it. */
function ofField(before: Build, after: Build): boolean {
  if (before.harness === after.harness && before.pickups === after.pickups) return false;
  return unlikeFields([before, after]);
}

/** Most that the response of the string moves from 20 Hz to 10 kHz, where it is not buried. */
function residueOf(before: Looked, after: Looked): Effects['residue'] {
  const grid = figureGrid();
  const [a, b] = [before, after].map(({ build, string, point }) => response(build, string, point, grid));
  let top = 0;
  for (let i = 0; i < grid.length; i++) top = Math.max(top, power(a, i), power(b, i));
  const floor = top * powerOfDb(-BURIED);
  let [most, at] = [0, 0];
  for (let i = 0; i < grid.length && grid[i] <= 10e3; i++) {
    const [p, q] = [power(a, i), power(b, i)];
    if (Math.max(p, q) < floor) continue;
    const step = Math.abs(dbOfPower(Math.max(q, floor) / Math.max(p, floor)));
    if (step > most) [most, at] = [step, grid[i]];
  }
  return { most, at: frequencyText(at || grid[0]) };
}

/**
 * What listeners would say: of the resonance, of the spectrum that the strings have through the builds, dips included, and
 * of the level if it is not matched.
 */
function heardOf(a: BuildFigures, b: BuildFigures, level: number, band: SpectrumStep | null, matched: boolean): string {
  const [r, s] = [a, b].map(one => figureValue(one.figures, 'resonance'));
  const [p, q] = [a, b].map(one => figureValue(one.figures, 'peak'));
  const shift =
    r !== null && s !== null ? resonanceShift({ resonance: r, peak: p! }, { resonance: s, peak: q! }).times : 0;
  const limit = `${BAND_STEP} dB`;
  const louder = reaches(level, LEVEL_STEP) ? [matched ? words.matchedLevel : words.heardLevel] : [];
  const tone = (): string => {
    if (shift >= 1) return words.heardShift(quantityWords.times(shift));
    if (band && reaches(band.step, BAND_STEP)) {
      const say = Math.abs(band.step) < 2 * BAND_STEP ? words.nearBand : words.heardBand;
      return say(decibelText(band.step), frequencyText(band.at), band.string, limit);
    }
    if (shift > 0.02) return words.unheardShift(quantityWords.share(shift));
    if (band && Math.abs(band.step) < LEVEL) return words.sameTone;
    return band ? words.unheardBand(decibelText(Math.abs(band.step)).replace('+', ''), limit) : '';
  };
  return [tone(), ...louder].filter(Boolean).join(' ');
}

const namesOf = ({ instrument }: Build): string => instrument.strings.map(string => string.name).join(', ');

/** What lies between two builds at the test point in use, on a string of the second and the one that belongs beside it. */
export function effectsOf(before: Looked, after: Looked): Effects {
  const { point, fret, string, matched } = after;
  const beside = matchingString(after.build.instrument, string, before.build.instrument);
  const was: Looked = { ...before, string: beside ?? 0 };
  const [a, b] = [was, after].map(one => buildFigures(one.build, { string: one.string, point, fret }));
  const none = { most: 0, at: '' };
  if (!a.wired && !b.wired) return { effects: [], heard: '', residue: none };
  if (!b.wired) return { effects: [words.effects.silent], heard: '', residue: none };
  if (!a.wired) return { effects: [words.effects.sounding], heard: '', residue: none };
  if (beside === null) {
    const strings = words.effects.otherStrings(namesOf(before.build), namesOf(after.build));
    return { effects: [strings, ...resonanceEffects(a, b)], heard: '', residue: none };
  }
  const [first, second] = [was, after].map(one => one.build.instrument.strings[one.string].name);
  const level = figureValue(b.figures, 'level')! - figureValue(a.figures, 'level')!;
  const levelText = modelledIf(ofField(before.build, after.build), decibelText(level));
  const mixed = [before, after].map(one => unlikeFields([one.build]));
  const textOf =
    (hangs: boolean): DipText =>
    dip =>
      modelledIf(hangs, dipText(dip));
  const effects = [
    ...(first === second ? [] : [words.effects.otherString(first, second)]),
    ...resonanceEffects(a, b),
    ...phaseEffects(before.build, after.build),
    ...(Math.abs(level) > LEVEL ? [words.effects.level(levelText)] : []),
    ...octaveEffect(a, b, mixed.includes(true)),
    ...apertureEffect(was, after),
    ...dipEffect(a.dips, b.dips, textOf(mixed[0]), textOf(mixed[1])),
    ...(isBehindNetwork(point) ? humEffect(figureValue(a.figures, 'hum'), figureValue(b.figures, 'hum'), level) : []),
  ];
  const residue = effects.length > 0 ? none : residueOf(was, after);
  const still = first !== second || (effects.length === 0 && residue.most < LEVEL);
  const heard = still ? '' : heardOf(a, b, level, spectrumStep(before.build, after.build, point), matched);
  return { effects, heard, residue };
}
