/** Figures as text, one way for each unit, wherever they stand. Pure. */
import { COMPLETE_DEPTH, type Dip } from '../../shared/response/dips.ts';
import type { Departure } from '../../shared/response/kernel.ts';
import { MOST_DEPARTURE, SECOND_ORDER_WITHIN } from '../../shared/response/load-figures.ts';
import { type Figure, figureValue, figureValues } from '../../shared/response/quantities.ts';
import { SATURATED } from '../../shared/sensor/field.ts';
import { words } from '../words/quantity-words.ts';
import { words as soundWords } from '../words/sound-words.ts';

/** A frequency in three figures: `2.86 kHz`, `330 Hz`. */
export function frequencyText(f: number): string {
  const rounded = Number(f.toPrecision(3));
  if (rounded >= 1000) return `${(rounded / 1000).toPrecision(3)} kHz`;
  return `${rounded} Hz`;
}

/** Decibels with their sign and one decimal: `+3.7 dB`. */
export const decibelText = (d: number): string => `${decibelNumber(d)} dB`;
export function decibelNumber(d: number): string {
  const rounded = Math.round(d * 10) / 10;
  return `${rounded > 0 ? '+' : rounded < 0 ? '−' : ''}${Math.abs(rounded).toFixed(1)}`;
}

/** A departure, rounded up: `0.3 dB`. */
const atMostText = (dB: number): string => `${(Math.ceil(dB * 10) / 10).toFixed(1)} dB`;

/** What the sound of a build lacks of its curve, in words; empty: nothing. */
export const departsText = (letter: string, departure: Departure | null): string =>
  departure ? soundWords.departs(letter, atMostText(departure.most), frequencyText(departure.at)) : '';

/** A figure that hangs on the field over the poles. */
export const modelledText = (text: string): string => words.modelled(text);
export const modelledIf = (hangs: boolean, text: string): string => (hangs ? modelledText(text) : text);
/** What that sign means. */
export const modelledLegend = (): string => words.modelledLegend(SATURATED.slope, SATURATED.width);

/** Hum, which two coils that are alike cancel altogether. */
export const humText = (value: number | null): string =>
  value === null ? words.none : Number.isFinite(value) ? decibelText(value) : words.cancelled;

/** A dip's depth: `complete`, `21 dB deep`. */
export const depthText = (depth: number): string =>
  depth >= COMPLETE_DEPTH ? words.complete : words.deep(`${Math.round(depth)} dB`);

/** A dip with its depth: `1.52 kHz, 35 dB deep`. */
export const dipText = (dip: Dip): string => `${frequencyText(dip.frequency)}, ${depthText(dip.depth)}`;

/** The four octaves against 250 Hz: `+1.2 / −0.4 / −8.0 / −21.3`. */
export const octavesText = (figures: readonly Figure[]): string => {
  const values = figureValues(figures, 'octave');
  return values.some(value => value === null) || values.length === 0
    ? words.none
    : values.map(value => decibelNumber(value!)).join(' / ');
};

/** Coils and load in one line; empty where they have no place (before the jack, or nothing connected). */
export function loadText(figures: readonly Figure[]): string {
  const f0 = figureValue(figures, 'natural');
  if (!figures.some(one => one.quantity === 'natural') || figureValue(figures, 'level') === null) return '';
  if (f0 === null) return words.noTurn;
  const [q, departure, slope] = (['quality', 'departure', 'slope'] as const).map(name => figureValue(figures, name)!);
  const peak = figureValue(figures, 'peak');
  const off = departure >= MOST_DEPARTURE ? words.orMore(`${MOST_DEPARTURE} dB`) : atMostText(departure);
  return departure <= SECOND_ORDER_WITHIN
    ? words.lowPass(
        frequencyText(f0),
        q.toPrecision(3),
        peak === null ? words.noPeak : words.peakOf(decibelText(peak)),
        decibelText(slope),
        off,
      )
    : words.noLowPass(off, frequencyText(f0), q.toPrecision(3), decibelText(slope));
}
