/** The two lines of key figures that each station of the path shows. Pure. */

import type { Build, Pickup, Stage, TestPoint } from '../../../shared/document/build.ts';
import { firstTone, firstVolume } from '../../../shared/document/first-volume.ts';
import type { Station } from '../../../shared/document/sheet.ts';
import { loadFigures } from '../../../shared/response/load-figures.ts';
import { combNulls } from '../../../shared/sensor/comb.ts';
import { coilOnString } from '../../../shared/sensor/placement.ts';
import { stringModel } from '../../../shared/string/stiff.ts';
import { formatQuantity, quantityParts, type UnitSystem } from '../../../shared/units.ts';
import { frequencyText, modelledText } from '../../parts/figure-text.ts';
import { words } from '../../words/path-words.ts';
import { apertureCorner, coilsInUse, pickupsInUse } from './aperture-figures.ts';

export interface Looked {
  build: Build;
  /** Index of the string that is looked at. */
  string: number;
  fret: number;
  /** Test point in use. */
  point: TestPoint;
  /** Id of the pickup to speak of where it is in use. */
  pickup: string;
  units: UnitSystem;
  /** Builds are heard equally loud. */
  matched: boolean;
}

/** The unit stripped of its sign, as parts lists write it: `250 k`, `22 n`. */
export const short = (value: number, kind: 'resistance' | 'capacitance' | 'inductance'): string => {
  const { number, unit } = quantityParts(value, kind);
  return `${number}${/^[pnµmkMG]/.test(unit) ? ` ${unit[0]}` : ''}`;
};

/** The pickup that the figures speak of. */
export function spokenPickup({ build, pickup }: Looked): Pickup {
  const used = pickupsInUse(build);
  return used.find(p => p.id === pickup) ?? used[0];
}

/** Distance of a pickup's coils in use to the saddle of one string, the middle of them, m. */
export function middleOf(build: Build, pickup: Pickup, string: number): number {
  const coils = coilsInUse(build, pickup).map(coil => coilOnString(build, pickup, coil, string).x);
  return coils.reduce((a, b) => a + b, 0) / coils.length;
}

/** First null of the position comb, Hz; null: above 20 kHz. */
export function firstNode(look: Looked): number | null {
  const pickup = spokenPickup(look);
  const x = middleOf(look.build, pickup, look.string);
  return combNulls(stringModel(look.build.instrument.strings[look.string]), x, 20e3)[0]?.frequency ?? null;
}

const seriesOf = (coils: readonly { resistance: number; inductance: number }[]) => ({
  resistance: coils.reduce((sum, c) => sum + c.resistance, 0),
  inductance: coils.reduce((sum, c) => sum + c.inductance, 0),
});

/** What one pickup is as its selected tap joins its coils: R and L at low frequencies. */
export function pickupSum(build: Build, pickup: Pickup): { resistance: number; inductance: number } {
  const coils = coilsInUse(build, pickup);
  const tap = build.harness.positions[build.harness.selected]?.taps.find(t => t.pickup === pickup.id);
  if (tap?.join !== 'parallel') return seriesOf(coils);
  return {
    resistance: 1 / coils.reduce((sum, c) => sum + 1 / c.resistance, 0),
    inductance: 1 / coils.reduce((sum, c) => sum + 1 / c.inductance, 0),
  };
}

function controlsText(build: Build): string {
  const parts: string[] = [];
  const volume = firstVolume(build.harness.controls);
  const tone = firstTone(build.harness.controls);
  if (volume && tone && volume.value === tone.value)
    return `${short(volume.value, 'resistance')} ${words.pots}, ${short(tone.capacitance, 'capacitance')}`;
  if (volume) parts.push(`${short(volume.value, 'resistance')} ${words.volume}`);
  if (tone) parts.push(`${short(tone.value, 'resistance')} ${words.tone}`, short(tone.capacitance, 'capacitance'));
  return parts.join(', ') || words.noControls;
}

const stageText = (stage: Stage, units: UnitSystem): string => {
  if (stage.kind === 'cable')
    return stage.measured === null
      ? `${formatQuantity(stage.length, 'cableLength', units)} × ${formatQuantity(stage.capacitancePerMetre, 'capacitancePerMetre', units)}`
      : `${formatQuantity(stage.measured, 'capacitance')}`;
  return stage.kind === 'buffer' ? words.buffer : formatQuantity(stage.resistance, 'resistance');
};

/** Both lines for one build. */
export function stationFigures(station: Station, look: Looked): [string, string] {
  const { build, string, fret, units } = look;
  const spec = build.instrument.strings[string];
  switch (station) {
    case 'string': {
      const model = stringModel(spec);
      return [
        `${spec.name} ${fret === 0 ? words.open : `${words.fret} ${fret}`}, ${formatQuantity(spec.scale, 'length', units)}`,
        `${(spec.pitch * 2 ** (fret / 12)).toFixed(2)} Hz B ${(model.B * 2 ** (fret / 6)).toExponential(1).replace('e-', 'e−')}`,
      ];
    }
    case 'position': {
      const first = firstNode(look);
      return [
        formatQuantity(spokenPickup(look).position, 'length', units),
        first === null ? words.noNode : frequencyText(first),
      ];
    }
    case 'aperture': {
      const pickup = spokenPickup(look);
      const coils = coilsInUse(build, pickup);
      const span = Math.max(...coils.map(c => c.along)) - Math.min(...coils.map(c => c.along));
      const corner = apertureCorner(build, pickup, string);
      return [
        words.coils(coils.length) + (span > 0 ? ` ${quantityParts(span, 'length', units).number}` : ''),
        corner === null ? words.flat : modelledText(frequencyText(corner)),
      ];
    }
    case 'coils': {
      const { resistance, inductance } = pickupSum(build, spokenPickup(look));
      return [
        `${Number((resistance / 1000).toPrecision(3))} kΩ ${Number(inductance.toPrecision(3))} H`,
        controlsText(build),
      ];
    }
    case 'cable': {
      const chain = build.outputs[0].chain;
      const figures = loadFigures(build);
      return [
        chain.map(stage => stageText(stage, units)).join(', ') || words.nothingPlugged,
        figures?.resonance ? frequencyText(figures.resonance) : words.noResonance,
      ];
    }
  }
}

/** Word that stands once before the second line's figures; empty: none. */
export const FIGURE_WORD: Record<Station, string> = {
  string: '',
  position: words.firstNode,
  aperture: words.minus3,
  coils: '',
  cable: words.resonance,
};
