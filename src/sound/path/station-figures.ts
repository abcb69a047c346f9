/** The two lines of key figures that each station of the path shows. Pure. */

import type { Build, Pickup, Stage, TestPoint } from '../../../shared/document/build.ts';
import { wholeInductance } from '../../../shared/document/edits/coils.ts';
import { firstTone, firstVolume } from '../../../shared/document/first-volume.ts';
import type { Station } from '../../../shared/document/sheet.ts';
import { dipsOf } from '../../../shared/response/dips.ts';
import { loadFigures } from '../../../shared/response/load-figures.ts';
import { opposed } from '../../../shared/response/mixing.ts';
import { response } from '../../../shared/response/response.ts';
import { isUnder } from '../../../shared/sensor/placement.ts';
import { stringModel } from '../../../shared/string/stiff.ts';
import { formatQuantity, quantityParts, type UnitSystem } from '../../../shared/units.ts';
import { frequencyText, modelledText } from '../../parts/figure-text.ts';
import { words } from '../../words/path-words.ts';
import { apertureCorner, coilsUnder, pickupsInUse } from './aperture-figures.ts';

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

/** Most dips stand below this, Hz; higher ones are looked for only where there is none. */
const USUAL = 5e3;
const HIGHEST = 20e3;

/** First dip that the places of everything that plays make, all coils together, without windows (test point 2), Hz. */
export function firstDip({ build, string }: Looked): number | null {
  const first = (limit: number) => dipsOf(f => response(build, string, 2, f), limit)[0];
  return (first(USUAL) ?? first(HIGHEST))?.frequency ?? null;
}

interface Winding {
  /** Ohm. */
  resistance: number;
  /** At low frequencies, H. */
  inductance: number;
}
const KEYS = ['resistance', 'inductance'] as const;

/** Several as one, in series or in parallel. */
function joined(all: readonly Winding[], join: 'series' | 'parallel'): Winding {
  const [resistance, inductance] = KEYS.map(key =>
    join === 'parallel'
      ? 1 / all.reduce((sum, one) => sum + 1 / one[key], 0)
      : all.reduce((sum, one) => sum + one[key], 0),
  );
  return { resistance, inductance };
}

/** What plays at the first jack, as the selected position joins coils and pickups, without controls; null: nothing. */
export function playing(build: Build): Winding | null {
  const position = build.harness.positions[build.harness.selected];
  const taps = position?.taps.filter(tap => tap.output === build.outputs[0].id) ?? [];
  const pickups = taps.flatMap(({ pickup, coils, join }) => {
    const own = build.pickups.find(p => p.id === pickup)?.coils.filter(c => coils === null || coils.includes(c.id));
    if (!own || own.length === 0) return [];
    return [
      joined(
        own.map(c => ({ resistance: c.resistance, inductance: wholeInductance(c) })),
        join,
      ),
    ];
  });
  return pickups.length === 0 ? null : joined(pickups, position.join);
}

/** Coils of a pickup under the string, and how far apart: `two coils 18.5 mm apart`. */
function coilsText({ build, string, units }: Looked, pickup: Pickup): string {
  const coils = coilsUnder(build, pickup, string);
  const along = coils.map(c => c.along);
  const span = Math.max(...along) - Math.min(...along);
  return words.coils(coils.length) + (span > 0 ? ` ${words.apart(formatQuantity(span, 'length', units))}` : '');
}

const cornerText = ({ build, string }: Looked, pickup: Pickup): string => {
  if (opposed(build, pickup.id, string)) return words.noCorner;
  if (!pickup.coils.some(coil => isUnder(coil, string))) return words.notUnder;
  const corner = apertureCorner(build, pickup, string);
  return corner === null ? words.flat : modelledText(frequencyText(corner));
};

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
  const used = pickupsInUse(build);
  switch (station) {
    case 'string': {
      const model = stringModel(spec);
      return [
        `${spec.name} ${fret === 0 ? words.open : `${words.fret} ${fret}`}, ${formatQuantity(spec.scale, 'length', units)}`,
        `${(spec.pitch * 2 ** (fret / 12)).toFixed(2)} Hz B ${(model.B * 2 ** (fret / 6)).toExponential(1).replace('e-', 'e−')}`,
      ];
    }
    case 'position': {
      const first = firstDip(look);
      return [
        used.map(pickup => formatQuantity(pickup.position, 'length', units)).join(' + '),
        first === null ? words.noNode : frequencyText(first),
      ];
    }
    case 'aperture':
      return [
        used.map(pickup => coilsText(look, pickup)).join(' + '),
        [...new Set(used.map(pickup => cornerText(look, pickup)))].join(' + '),
      ];
    case 'coils': {
      const sum = playing(build);
      return [
        sum === null
          ? words.nothingPlays
          : `${Number((sum.resistance / 1000).toPrecision(3))} kΩ ${Number(sum.inductance.toPrecision(3))} H`,
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
  position: words.firstDip,
  aperture: words.minus3,
  coils: '',
  cable: words.resonance,
};
