/**
 * The build: everything that decides what one instrument's pickups and wiring do to its strings.
 *
 * One schema is the source of the types, of the validation messages and of the published JSON Schema. All values are
 * SI (metres, ohms, henries, farads, radians); people's units exist only at the edges (`units.ts`). Plain data,
 * never mutated.
 *
 * Axes: x runs along the strings from the saddle line (x = 0) towards the nut; y runs across them, 0 on the centre
 * line, positive on the treble side. Strings are counted as the trade counts them: string 1 is the highest pitched,
 * and stands at index 0.
 */
import * as v from 'valibot';

const finite = (what: string) => v.pipe(v.number(`${what} must be a number`), v.finite(`${what} must be finite`));
const between = (what: string, low: number, high: number, unit: string) =>
  v.pipe(
    finite(what),
    v.minValue(low, `${what} must be at least ${low} ${unit}`.trim()),
    v.maxValue(high, `${what} must be at most ${high} ${unit}`.trim()),
  );
const text = (max: number) => v.pipe(v.string(), v.maxLength(max, `at most ${max} characters`));
const id = v.pipe(v.string(), v.regex(/^[a-z0-9-]{1,24}$/, 'an id is 1 to 24 letters a-z, digits and hyphens'));
/** The most there may be of each, the one place for it: the schema, the edits and the page's buttons read this. */
export const MOST = {
  strings: 12,
  pickups: 6,
  /** Of one pickup. */
  coils: 8,
  /** Of the selector. */
  positions: 24,
  /** Of one selector position. */
  taps: 8,
  controls: 12,
  /** Parts soldered anywhere. */
  fixed: 24,
  outputs: 2,
  /** Plugged in at one output. */
  stages: 12,
} as const;
const sign = v.picklist([1, -1], 'must be 1 or -1');

/** Accepted ranges in SI, the one place for them: the schema and the fields of the page both read these. */
export const RANGE = {
  scale: [0.15, 1.3],
  pitch: [15, 2000],
  gauge: [0.1e-3, 6e-3],
  unitWeight: [1e-5, 0.5],
  inharmonicity: [0, 0.02],
  spacing: [0.01, 0.2],
  frets: [0, 36],
  position: [0.003, 0.6],
  slant: [-0.7854, 0.7854],
  height: [0.3e-3, 20e-3],
  along: [-0.08, 0.08],
  windowWidth: [0.5e-3, 80e-3],
  windowDepth: [0, 20e-3],
  poleSize: [0.5e-3, 20e-3],
  poleSpread: [0.01, 0.2],
  polePair: [1e-3, 30e-3],
  resistance: [1, 200e3],
  inductance: [1e-4, 100],
  capacitance: [1e-13, 1e-7],
  lossResistance: [1e3, 1e9],
  coverFrequency: [200, 200e3],
  sensitivity: [1e-5, 100],
  turns: [1, 1e5],
  pot: [1e3, 10e6],
  tolerance: [-0.5, 0.5],
  setting: [0, 1],
  toneCapacitance: [1e-12, 1e-5],
  fixedResistance: [1e-3, 1e9],
  fixedCapacitance: [1e-13, 1e-4],
  fixedInductance: [1e-7, 1000],
  cableLength: [0, 100],
  cableCapacitance: [0, 1e-9],
  cableTotal: [0, 1e-7],
  cableResistance: [0, 10],
  leakage: [1e4, 1e12],
  inputResistance: [100, 1e10],
  inputCapacitance: [0, 1e-8],
  seriesResistance: [0, 1e6],
  gain: [-100, 100],
  outputResistance: [0, 1e6],
} as const satisfies Record<string, readonly [number, number]>;
export type RangeName = keyof typeof RANGE;

const UNIT: Partial<Record<RangeName, string>> = {
  scale: 'm',
  gauge: 'm',
  spacing: 'm',
  position: 'm',
  height: 'm',
  along: 'm',
  windowWidth: 'm',
  windowDepth: 'm',
  poleSize: 'm',
  poleSpread: 'm',
  polePair: 'm',
  cableLength: 'm',
  pitch: 'Hz',
  coverFrequency: 'Hz',
  slant: 'rad',
  unitWeight: 'kg/m',
  resistance: 'ohm',
  lossResistance: 'ohm',
  pot: 'ohm',
  fixedResistance: 'ohm',
  leakage: 'ohm',
  inputResistance: 'ohm',
  seriesResistance: 'ohm',
  outputResistance: 'ohm',
  inductance: 'H',
  fixedInductance: 'H',
  capacitance: 'F',
  toneCapacitance: 'F',
  fixedCapacitance: 'F',
  cableTotal: 'F',
  inputCapacitance: 'F',
  cableCapacitance: 'F/m',
  cableResistance: 'ohm/m',
  sensitivity: 'V s/m',
}; // prettier-ignore
const ranged = (what: string, name: RangeName) => between(what, RANGE[name][0], RANGE[name][1], UNIT[name] ?? '');

export const StringSchema = v.object({
  /** What it is called, for instance its open note: `E2`. */
  name: text(16),
  /** Speaking length, m. */
  scale: ranged('scale length', 'scale'),
  /** Where this string's saddle stands against the saddle line, m, positive towards the nut. */
  saddle: between('saddle offset', -0.1, 0.1, 'm'),
  /** Fundamental of the open string without stiffness, Hz. */
  pitch: ranged('pitch', 'pitch'),
  /** Outside diameter, m. */
  gauge: ranged('gauge', 'gauge'),
  /** Unit that the person writes the diameter in; absent: the one that suits the value (`string/gauge-unit.ts`). */
  gaugeIn: v.optional(v.picklist(['in', 'mm'])),
  /** Diameter of the core of a wound string, m; null: a plain string. */
  core: v.nullable(ranged('core', 'gauge')),
  coreIn: v.optional(v.picklist(['in', 'mm'])),
  /** Mass per length, kg/m; null: computed from gauge and core. */
  unitWeight: v.nullable(ranged('unit weight', 'unitWeight')),
  /** Inharmonicity coefficient B of the open string; null: computed from the core. */
  inharmonicity: v.nullable(ranged('inharmonicity', 'inharmonicity')),
});

/** Whether a name follows from what it names, and with it; absent: it is the person's own and stays. */
const derived = v.optional(v.boolean());

export const InstrumentSchema = v.object({
  name: text(60),
  nameDerived: derived,
  strings: v.pipe(
    v.array(StringSchema),
    v.minLength(1, 'at least one string'),
    v.maxLength(MOST.strings, `at most ${MOST.strings} strings`),
  ),
  /** Distance between the outer strings at the saddle and at the nut, m: strings converge towards the nut. */
  spread: v.object({
    saddle: between('string spread at the saddle', 0, 0.2, 'm'),
    nut: between('string spread at the nut', 0, 0.2, 'm'),
  }),
  frets: v.pipe(ranged('frets', 'frets'), v.integer('frets must be a whole number')),
});

export const WINDOW_SHAPES = ['pole', 'rectangle', 'raised-cosine', 'gaussian'] as const;
export const WindowSchema = v.object({
  shape: v.picklist(WINDOW_SHAPES, 'an aperture window is pole, rectangle, raised-cosine or gaussian'),
  /** Rectangle and raised cosine: whole width; Gaussian: full width at half maximum; m. Unused by the pole window. */
  width: ranged('window width', 'windowWidth'),
  /**
   * Pole window: how deep below the pole face its magnetic charge is put, m; null: half the face's width
   * (`sensor/field.ts`).
   */
  depth: v.nullable(ranged('window depth', 'windowDepth')),
});

export const LossSchema = v.variant('kind', [
  v.object({ kind: v.literal('none') }),
  /** One eddy loop: a resistance across EMF and inductance together. */
  v.object({ kind: v.literal('eddy'), resistance: ranged('loss resistance', 'lossResistance') }),
  /** Sections of L parallel R in series with the inductance: the square-root-of-frequency loss of solid cores. */
  v.object({
    kind: v.literal('ladder'),
    sections: v.pipe(
      v.array(
        v.object({
          inductance: ranged('section inductance', 'inductance'),
          resistance: ranged('section resistance', 'lossResistance'),
        }),
      ),
      v.minLength(1, 'at least one section'),
      v.maxLength(4, 'at most four sections'),
    ),
  }),
]);

export const CoilSchema = v.object({
  id,
  /** Coil centre along the strings against the pickup's position, m, positive towards the nut. */
  along: ranged('coil offset', 'along'),
  /** The string numbers it lies under (1 is the highest); null: all. */
  strings: v.nullable(
    v.pipe(v.array(v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MOST.strings))), v.minLength(1)),
  ),
  window: WindowSchema,
  /** Series resistance of the wire, ohm. */
  resistance: ranged('coil resistance', 'resistance'),
  inductance: ranged('coil inductance', 'inductance'),
  /** Self-capacitance, F. */
  capacitance: ranged('coil capacitance', 'capacitance'),
  loss: LossSchema,
  /** First-order pole of a cover or baseplate on the EMF, Hz; null: none. */
  cover: v.nullable(ranged('cover pole', 'coverFrequency')),
  /** EMF per string velocity at the reference distance (`sensor/placement.ts`), V s/m. */
  sensitivity: ranged('sensitivity', 'sensitivity'),
  /** Turns of wire, which hum goes with; absent: taken in proportion to the wire's resistance (`circuit/hum.ts`). */
  turns: v.optional(ranged('turns', 'turns')),
  /** Magnetic pole that faces the strings: 1 north, -1 south. */
  polarity: sign,
  /** Winding direction seen from above: 1 clockwise, -1 counter-clockwise. Hum follows this alone. */
  winding: sign,
  /** Where the electrical values come from. */
  origin: v.picklist(['typical', 'entered']),
  /** How they were found, in the person's words: with what they were measured, where. */
  note: v.optional(text(120)),
});

export const PICKUP_KINDS = ['single', 'double', 'stacked', 'split', 'free'] as const;
export const PickupSchema = v.object({
  id,
  name: text(40),
  kind: v.picklist(PICKUP_KINDS, 'a pickup kind is single, double, stacked, split or free'),
  /** What it senses. */
  senses: v.literal('velocity'),
  /** Centre of the pickup on the centre line, m from the saddle line. */
  position: ranged('position', 'position'),
  /** Rotation seen from above, rad: positive moves the bass side towards the nut. */
  slant: ranged('slant', 'slant'),
  /** Distance of string to pole face, m, at the outer strings; linear between. */
  height: v.object({
    bass: ranged('gap of string to pole, bass side', 'height'),
    treble: ranged('gap of string to pole, treble side', 'height'),
  }),
  poles: v.object({
    kind: v.picklist(['one', 'two', 'rail'], 'poles are one or two per string, or a rail'),
    /** Diameter of a pole piece, or width of a rail along the strings, m. */
    size: ranged('pole size', 'poleSize'),
    /** Centre to centre of the two outermost pole pieces, or length of a rail, m. */
    spread: ranged('pole spread', 'poleSpread'),
    /** Centre to centre of the two poles of one string, m. Used with two poles per string. */
    pair: ranged('distance of the two poles of a string', 'polePair'),
  }),
  coils: v.pipe(
    v.array(CoilSchema),
    v.minLength(1, 'at least one coil'),
    v.maxLength(MOST.coils, `at most ${MOST.coils} coils`),
  ),
});

export const PotSchema = v.object({
  /** Nominal resistance of the whole track, ohm. */
  value: ranged('pot', 'pot'),
  /** Deviation of this part from nominal: 0.1 is 10 % above. */
  deviation: ranged('deviation', 'tolerance'),
  taper: v.picklist(['linear', 'audio-10', 'audio-15', 'audio-20', 'reverse-audio-10'], 'not a taper'),
  /** Rotation, 0 to 1. */
  setting: ranged('setting', 'setting'),
});

export const VolumeSchema = v.object({
  ...PotSchema.entries,
  /** Treble bleed from the pickup side to the wiper. */
  bleed: v.nullable(
    v.object({
      kind: v.picklist(['capacitor', 'parallel', 'series']),
      capacitance: ranged('bleed capacitor', 'toneCapacitance'),
      resistance: ranged('bleed resistor', 'fixedResistance'),
    }),
  ),
});

export const ToneSchema = v.object({ ...PotSchema.entries, capacitance: ranged('tone capacitor', 'toneCapacitance') });

/** A volume and a tone control, either may be missing, over one pickup or over all that goes to one output. */
export const ControlSchema = v.object({
  id,
  /** Pickups under it; null: master over everything at its output. */
  pickup: v.nullable(id),
  /** Output that a master control belongs to. */
  output: id,
  volume: v.nullable(VolumeSchema),
  tone: v.nullable(ToneSchema),
  /** Where the tone control taps: ahead of the volume control or at its wiper. */
  toneAt: v.picklist(['before', 'after']),
  /** `normal`: the signal enters at the top of the track and leaves at the wiper; `independent`: the other way about. */
  volumeWiring: v.picklist(['normal', 'independent']),
});

/** How one pickup is connected in a selector position. */
export const TapSchema = v.object({
  pickup: id,
  /** Ids of the coils in use, in order; null: all. */
  coils: v.nullable(v.array(id)),
  join: v.picklist(['series', 'parallel']),
  /** Every second coil connected the other way round. */
  antiphase: v.boolean(),
  /** The pickup as a whole connected the other way round. */
  reverse: v.boolean(),
  output: id,
});
export const PositionSchema = v.object({
  label: text(40),
  join: v.picklist(['parallel', 'series']),
  taps: v.pipe(v.array(TapSchema), v.maxLength(MOST.taps)),
});

/** A place where a part can be soldered, by what is there; `circuit/solder-places.ts` lists those of a build. */
export const PlaceSchema = v.variant('at', [
  v.object({ at: v.literal('ground') }),
  /** Ends of a pickup; `out`: behind its own controls, where the selector takes it. */
  v.object({ at: v.literal('pickup'), pickup: id, end: v.picklist(['hot', 'cold', 'out']) }),
  v.object({ at: v.literal('coil'), pickup: id, coil: id, end: v.picklist(['hot', 'cold']) }),
  /** `out`: behind the control; `tone`: between its tone pot and its tone capacitor. */
  v.object({ at: v.literal('control'), control: id, end: v.picklist(['out', 'tone']) }),
  /** The selector's common contact. */
  v.object({ at: v.literal('selector'), output: id }),
  v.object({ at: v.literal('jack'), output: id }),
  /** Behind one of the stages plugged in, counted from 0. */
  v.object({
    at: v.literal('stage'),
    output: id,
    stage: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(MOST.stages - 1)),
  }),
  /** The end of everything plugged in. */
  v.object({ at: v.literal('end'), output: id }),
]);

const soldered = { id, from: PlaceSchema, to: PlaceSchema };
export const FixedSchema = v.variant('kind', [
  v.object({ ...soldered, kind: v.literal('resistor'), value: ranged('resistor', 'fixedResistance') }),
  v.object({ ...soldered, kind: v.literal('capacitor'), value: ranged('capacitor', 'fixedCapacitance') }),
  v.object({ ...soldered, kind: v.literal('inductor'), value: ranged('inductor', 'fixedInductance') }),
]);

export const HarnessSchema = v.object({
  positions: v.pipe(
    v.array(PositionSchema),
    v.minLength(1, 'at least one selector position'),
    v.maxLength(MOST.positions),
  ),
  /** Index of the selected position. */
  selected: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(MOST.positions - 1)),
  controls: v.pipe(v.array(ControlSchema), v.maxLength(MOST.controls)),
  /**
   * A blend pot between two pickups; null: none. One gang: the pickups at the ends of the track, the wiper to the output.
   * Two gangs: a track of its own for each pickup, both full in the middle, one turned down on either side of it.
   */
  blend: v.nullable(
    v.object({
      ...PotSchema.entries,
      gangs: v.optional(v.picklist(['one', 'two'], 'a blend pot has one gang or two'), 'one'),
      from: id,
      to: id,
    }),
  ),
  /** Parts soldered anywhere. */
  fixed: v.pipe(v.array(FixedSchema), v.maxLength(MOST.fixed)),
});

export const StageSchema = v.variant('kind', [
  v.object({
    kind: v.literal('cable'),
    length: ranged('cable length', 'cableLength'),
    /** F/m. */
    capacitancePerMetre: ranged('cable capacitance', 'cableCapacitance'),
    /** Measured total, F, used instead of length times capacitance per metre; null: not measured. */
    measured: v.nullable(ranged('measured capacitance', 'cableTotal')),
    /** Conductor resistance, there and back, ohm/m. */
    resistancePerMetre: ranged('cable resistance', 'cableResistance'),
    /** Leakage between conductor and screen, ohm; null: none. */
    leakage: v.nullable(ranged('leakage', 'leakage')),
  }),
  v.object({
    kind: v.literal('buffer'),
    name: text(40),
    resistance: ranged('buffer input resistance', 'inputResistance'),
    capacitance: ranged('buffer input capacitance', 'inputCapacitance'),
    /** Voltage gain, linear. */
    gain: ranged('gain', 'gain'),
    output: ranged('output resistance', 'outputResistance'),
  }),
  v.object({
    kind: v.literal('input'),
    name: text(40),
    resistance: ranged('input resistance', 'inputResistance'),
    capacitance: ranged('input capacitance', 'inputCapacitance'),
    /** Series resistor ahead of the shunt capacitance, ohm. */
    series: ranged('series resistance', 'seriesResistance'),
  }),
]);

export const OutputSchema = v.object({
  id,
  name: text(40),
  /** What is plugged in after the jack, in order: cables, buffers, inputs. */
  chain: v.pipe(v.array(StageSchema), v.maxLength(MOST.stages)),
});

/** The version of the format that this code writes. */
export const BUILD_VERSION = 2;

export const BuildSchema = v.object({
  format: v.literal('comb-and-coil/build', 'this is not a Comb & Coil build'),
  version: v.literal(BUILD_VERSION, 'this version of the build format is not known'),
  name: text(60),
  nameDerived: derived,
  note: text(400),
  instrument: InstrumentSchema,
  pickups: v.pipe(
    v.array(PickupSchema),
    v.minLength(1, 'at least one pickup'),
    v.maxLength(MOST.pickups, `at most ${MOST.pickups} pickups`),
  ),
  harness: HarnessSchema,
  /** One for most instruments, two for stereo wiring. */
  outputs: v.pipe(
    v.array(OutputSchema),
    v.minLength(1, 'at least one output'),
    v.maxLength(MOST.outputs, `at most ${MOST.outputs} outputs`),
  ),
});

export type StringSpec = v.InferOutput<typeof StringSchema>;
export type Instrument = v.InferOutput<typeof InstrumentSchema>;
export type ApertureWindow = v.InferOutput<typeof WindowSchema>;
export type Loss = v.InferOutput<typeof LossSchema>;
export type Coil = v.InferOutput<typeof CoilSchema>;
export type Pickup = v.InferOutput<typeof PickupSchema>;
export type Pot = v.InferOutput<typeof PotSchema>;
export type Volume = v.InferOutput<typeof VolumeSchema>;
export type Tone = v.InferOutput<typeof ToneSchema>;
export type Control = v.InferOutput<typeof ControlSchema>;
export type Tap = v.InferOutput<typeof TapSchema>;
export type Position = v.InferOutput<typeof PositionSchema>;
export type Place = v.InferOutput<typeof PlaceSchema>;
export type Fixed = v.InferOutput<typeof FixedSchema>;
export type Harness = v.InferOutput<typeof HarnessSchema>;
export type Stage = v.InferOutput<typeof StageSchema>;
export type Output = v.InferOutput<typeof OutputSchema>;
export type Build = v.InferOutput<typeof BuildSchema>;

/** Where the path can be heard and plotted: 1 bridge force, 2 after position, 3 after aperture, 4 jack, 5 input. */
export const TEST_POINTS = [1, 2, 3, 4, 5] as const;
export type TestPoint = (typeof TEST_POINTS)[number];
/** The test points by what stands there. */
export const POINT = { force: 1, velocity: 2, emf: 3, jack: 4, input: 5 } as const satisfies Record<string, TestPoint>;
/** Behind the aperture: what stands there is a voltage, and a field can hum. */
export type VoltagePoint = 3 | 4 | 5;
export const isVoltage = (point: TestPoint): point is VoltagePoint => point >= POINT.emf;
/** Behind the network of coils, controls and what is plugged in: resonance, load and thermal noise are there alone. */
export type NetworkPoint = 4 | 5;
export const isBehindNetwork = (point: TestPoint): point is NetworkPoint => point >= POINT.jack;
