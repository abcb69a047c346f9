/**
 * Ready instruments. Names are invented.
 *
 * Masses are computed from gauge and core (`wire.ts`). Core diameters of .026, .036 and .046 in are published ones.
 * Everything marked "from memory" is a middling value of the trade without a source: string spreads, other cores, and the
 * masses of bowed strings, which follow from the usual tensions.
 */
import type { Instrument, StringSpec } from '../document/build.ts';
import { INCH, notePitch } from '../units.ts';

export type Family = 'guitar' | 'bass' | 'bowed' | 'flat-top';

export interface StringSet {
  id: string;
  family: Family;
  /** What it is, as the trade says it. */
  name: string;
  instrument: Instrument;
}

const mm = 1e-3;

const pitch = (name: string): number => {
  const hertz = notePitch(name);
  if (hertz === null) throw new Error(`"${name}" is no note`);
  return hertz;
};

type Strung = (scale: number) => StringSpec;
const string = (name: string, rest: Pick<StringSpec, 'gauge' | 'core' | 'unitWeight'>): Strung => {
  return scale => ({ name, scale, saddle: 0, pitch: pitch(name), inharmonicity: null, ...rest });
};
/** A plain string by gauge in inches. */
const plain = (name: string, gauge: number): Strung =>
  string(name, { gauge: gauge * INCH, core: null, unitWeight: null });
/** A wound string by gauge and core in inches. */
const wound = (name: string, gauge: number, core: number): Strung =>
  string(name, { gauge: gauge * INCH, core: core * INCH, unitWeight: null });
/** A bowed string by its usual tension in newtons, which gives its mass: μ = T/(2 L f)². From memory. */
const bowed =
  (name: string, tension: number, gauge: number, core: number | null): Strung =>
  scale => ({
    ...string(name, { gauge: gauge * mm, core: core === null ? null : core * mm, unitWeight: null })(scale),
    unitWeight: core === null ? null : tension / (2 * scale * pitch(name)) ** 2,
  });

const set = (
  id: string,
  family: Family,
  name: string,
  own: string,
  scale: number,
  frets: number,
  spread: [number, number],
  strings: Strung[],
): StringSet => ({
  id,
  family,
  name,
  instrument: {
    name: own,
    nameDerived: true,
    strings: strings.map(strung => strung(scale)),
    spread: { saddle: spread[0], nut: spread[1] },
    frets,
  },
});

// What follows are tables; their entries are alike in shape.
// 10-46; core diameters .014, .014 and .016 in are published ones.
const TEN_46 = [
  plain('E4', 0.01),
  plain('B3', 0.013),
  plain('G3', 0.017),
  wound('D3', 0.026, 0.014),
  wound('A2', 0.036, 0.014),
  wound('E2', 0.046, 0.016),
];
/**
 * The strings of the shipped recordings: gauges and cores are not known, the plain ones follow from B and the others are
 * those of a 12-52 set with a wound third (common practice); B is the one measured on each recording (samples/manifest.json).
 */
const recorded = (strung: Strung, inharmonicity: number): Strung => {
  return scale => ({ ...strung(scale), inharmonicity });
};
const RECORDED = [
  recorded(plain('E4', 0.012), 2e-5),
  recorded(plain('B3', 0.016), 6.55e-5),
  recorded(wound('G3', 0.024, 0.013), 2.72e-5),
  recorded(wound('D3', 0.032, 0.014), 3.48e-5),
  recorded(wound('A2', 0.042, 0.016), 4.23e-5),
  recorded(wound('E2', 0.052, 0.018), 1.095e-4),
];
const RECORDED_B = RECORDED.map(strung => strung(1)).map(({ name, inharmonicity }) => ({ name, inharmonicity }));

/** Whether the inharmonicity of a string is the one measured on the recorded string of its pitch. */
export const isRecordedB = (spec: StringSpec): boolean =>
  RECORDED_B.some(
    ({ name, inharmonicity }) =>
      inharmonicity === spec.inharmonicity && Math.abs(12 * Math.log2(spec.pitch / pitch(name))) <= 1,
  );

// Bass cores: B0 such that the open string has B = 3.1e-4, as inharmonicities measured on a five-string bass imply
// (J. A. Kemp, SN Applied Sciences 2 (2020) 636); the others from memory, they vary from maker to maker.
const BASS_C3 = wound('C3', 0.032, 0.016);
const BASS_4 = [
  wound('G2', 0.045, 0.018),
  wound('D2', 0.065, 0.0215),
  wound('A1', 0.085, 0.0245),
  wound('E1', 0.105, 0.0275),
];
const BASS_B0 = wound('B0', 0.13, 0.0306);

/** Ready instruments; string 1 is the highest. Spreads at saddle and nut are common practice, from memory. */
export const STRING_SETS: readonly StringSet[] = [
  set('guitar-6', 'guitar', 'Six-string guitar, 10-46', 'Ostrel 648 Ten', 648 * mm, 22, [52.5 * mm, 35.5 * mm], TEN_46),
  set(
    'guitar-6-recorded',
    'guitar',
    'Six-string guitar, 12-52, wound third (the recorded strings)',
    'Ostrel 648',
    648 * mm,
    22,
    [52.5 * mm, 35.5 * mm],
    RECORDED,
  ),
  set(
    'guitar-7',
    'guitar',
    'Seven-string guitar, 10-59',
    'Ostrel 648 Seven',
    648 * mm,
    24,
    [63 * mm, 42 * mm],
    [
      ...TEN_46,
      wound('B1', 0.059, 0.018), // core from memory
    ],
  ),
  set(
    'guitar-8',
    'guitar',
    'Eight-string guitar, 10-74',
    'Marrith 686',
    686 * mm,
    24,
    [73.5 * mm, 48 * mm],
    [
      ...TEN_46,
      wound('B1', 0.059, 0.018), // core from memory
      wound('F#1', 0.074, 0.02), // core from memory
    ],
  ),
  set(
    'baritone-6',
    'guitar',
    'Baritone guitar, 13-59',
    'Ulvane 686',
    686 * mm,
    22,
    [52.5 * mm, 35.5 * mm],
    [
      plain('B3', 0.013),
      plain('F#3', 0.018),
      wound('D3', 0.026, 0.014),
      wound('A2', 0.036, 0.014),
      wound('E2', 0.046, 0.016),
      wound('B1', 0.059, 0.018), // core from memory
    ],
  ),
  set('bass-4', 'bass', 'Four-string bass, 45-105', 'Corvath 864', 864 * mm, 21, [57 * mm, 30 * mm], BASS_4),
  set(
    'bass-5',
    'bass',
    'Five-string bass, 45-130',
    'Corvath 864 Five',
    864 * mm,
    24,
    [72 * mm, 37 * mm],
    [...BASS_4, BASS_B0],
  ),
  set(
    'bass-6',
    'bass',
    'Six-string bass, 32-130',
    'Corvath 864 Six',
    864 * mm,
    24,
    [85 * mm, 44 * mm],
    [BASS_C3, ...BASS_4, BASS_B0],
  ),
  // Steel-core strings; tensions, gauges and cores from memory. The violin's E is plain steel, its mass computed.
  set(
    'violin',
    'bowed',
    'Violin',
    'Little Ombel',
    328 * mm,
    0,
    [33.5 * mm, 16.5 * mm],
    [bowed('E5', 78, 0.26, null), bowed('A4', 55, 0.56, 0.28), bowed('D4', 43, 0.68, 0.28), bowed('G3', 44, 0.8, 0.28)],
  ),
  set(
    'viola',
    'bowed',
    'Viola',
    'Ombel',
    370 * mm,
    0,
    [36 * mm, 17 * mm],
    [bowed('A4', 68, 0.6, 0.32), bowed('D4', 55, 0.74, 0.32), bowed('G3', 54, 0.86, 0.32), bowed('C3', 55, 1.15, 0.32)],
  ),
  set(
    'cello',
    'bowed',
    'Cello',
    'Great Ombel',
    690 * mm,
    0,
    [47 * mm, 22 * mm],
    [
      bowed('A3', 175, 0.72, 0.45),
      bowed('D3', 140, 0.92, 0.45),
      bowed('G2', 135, 1.2, 0.45),
      bowed('C2', 130, 1.6, 0.5),
    ],
  ),
  set(
    'double-bass',
    'bowed',
    'Double bass',
    'Deep Ombel',
    1050 * mm,
    0,
    [83 * mm, 30 * mm],
    [bowed('G2', 290, 1.3, 0.7), bowed('D2', 285, 1.7, 0.7), bowed('A1', 280, 2.2, 0.75), bowed('E1', 280, 2.8, 0.8)],
  ),
  // Windings as if of steel; bronze ones weigh some per cent more (from memory). Other cores from memory.
  set(
    'flat-top-6',
    'flat-top',
    'Steel-string flat-top, 12-52',
    'Tessary 645',
    645 * mm,
    20,
    [54 * mm, 37 * mm],
    [
      plain('E4', 0.012),
      plain('B3', 0.016),
      wound('G3', 0.024, 0.013),
      wound('D3', 0.032, 0.014),
      wound('A2', 0.042, 0.016),
      wound('E2', 0.052, 0.018),
    ],
  ),
];

/** The family an instrument's strings belong to, by number, length and pitch: for choosing takes that suit it. */
export const familyOf = (instrument: Instrument): Family => {
  const known = STRING_SETS.find(
    ({ instrument: i }) =>
      i.strings.length === instrument.strings.length &&
      i.frets === instrument.frets &&
      i.strings.every((s, at) => Math.abs(s.pitch / instrument.strings[at].pitch - 1) < 0.03),
  );
  if (known) return known.family;
  if (instrument.frets === 0) return 'bowed';
  const lowest = Math.min(...instrument.strings.map(s => s.pitch));
  const longest = Math.max(...instrument.strings.map(s => s.scale));
  return longest > 0.74 || (lowest < 44 && instrument.strings.length < 7) ? 'bass' : 'guitar';
};
