/** Impedance of every build, seen at one place. Pure. */

import type { Spectrum } from '../../../shared/complex.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { highest } from '../../parts/curve-levels.ts';
import type { PlotModel, PlotSeries } from '../../parts/plot-model.ts';
import { ANGLE_STEPS, signedNumber } from '../../parts/plot-ticks.ts';
import { words } from '../../words/readings-words.ts';
import { look, overFrequency, type Setting, stated } from './plot-setting.ts';

/** Significant figures of an impedance with its prefix: `182 kΩ`. */
export function ohms(value: number): string {
  if (!Number.isFinite(value)) return '–';
  const size = Math.abs(value);
  const [step, prefix] = size >= 1e6 ? [1e6, 'M'] : size >= 1e3 ? [1e3, 'k'] : [1, ''];
  return `${Number((value / step).toPrecision(3))} ${prefix}Ω`;
}
export interface ImpedanceChoice {
  /** Per build; a build that has no such place is absent. */
  curves: ReadonlyMap<Letter, Spectrum>;
  where: string;
  phase: boolean;
}

/** Whole decades around all that is finite and above zero, Ω; a kilohm to a megohm where nothing is. */
function magnitudeAxis(curves: readonly Float64Array[]): PlotModel['y'] {
  let low = Infinity;
  for (const curve of curves) for (const y of curve) if (y > 0 && y < low) low = y;
  const top = 10 ** Math.ceil(Math.log10(highest(curves, 1e6) * 1.05));
  const bottom = low === Infinity ? 1e3 : 10 ** Math.floor(Math.log10(low * 0.95));
  return { kind: 'log', from: Math.min(bottom, top / 10), to: top, label: words.magnitudeAxis, unit: 'Ω' };
}

/** What magnitude and phase say differently. */
const quantityOf = (phase: boolean, curves: readonly Float64Array[], reference: Letter) =>
  phase
    ? {
        y: { kind: 'linear', from: -90, to: 90, label: words.phaseAxis, unit: '°', steps: ANGLE_STEPS } as const,
        yText: (y: number) => `${signedNumber(y, 1)}°`,
        reference: null,
        differenceText: null,
        columns: { x: 'frequency_hz', y: 'degrees' },
      }
    : {
        y: magnitudeAxis(curves),
        yText: ohms,
        reference,
        differenceText: (y: number, from: number) => (from > 0 ? `× ${Number((y / from).toPrecision(3))}` : '–'),
        columns: { x: 'frequency_hz', y: 'ohm' },
      };

export function impedanceModel(setting: Setting, { curves, where, phase }: ImpedanceChoice): PlotModel {
  const series = setting.builds.flatMap(({ letter, build }): PlotSeries[] => {
    const curve = curves.get(letter);
    if (!curve) return [];
    const { re, im } = curve;
    const y = phase
      ? re.map((value, i) => (Math.atan2(im[i], value) * 180) / Math.PI)
      : re.map((value, i) => Math.hypot(value, im[i]));
    return [{ ...look(letter, build), x: setting.frequencies, y }];
  });
  const drawn = series.map(one => one.y);
  return {
    ...overFrequency(setting),
    ...quantityOf(phase, drawn, setting.reference),
    title: words.titles.impedance(where, phase ? words.phase : words.magnitude),
    series,
    settings: { builds: stated(setting).builds, where },
  };
}
