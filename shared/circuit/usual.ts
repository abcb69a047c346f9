/** What stands in a harness when nothing else is known: the one place for each usual value. All common practice. */
import type { Control, Harness, Output, Pot, Stage, Tap, Tone, Volume } from '../document/build.ts';

/** The whole pickup, all its coils in series and in phase. */
export const usualTap = (pickup: string, output: string): Tap => ({
  pickup,
  coils: null,
  join: 'series',
  antiphase: false,
  reverse: false,
  output,
});

/** 5 m at 100 pF/m. */
export const usualCable = (): Extract<Stage, { kind: 'cable' }> => ({
  kind: 'cable',
  length: 5,
  capacitancePerMetre: 100e-12,
  measured: null,
  resistancePerMetre: 0,
  leakage: null,
});

/** 1 MΩ. */
export const usualInput = (): Extract<Stage, { kind: 'input' }> => ({
  kind: 'input',
  name: 'amplifier input',
  resistance: 1e6,
  capacitance: 0,
  series: 0,
});

/** Unity gain, 1 MΩ in, 1 kΩ out. */
export const usualBuffer = (): Extract<Stage, { kind: 'buffer' }> => ({
  kind: 'buffer',
  name: 'buffer',
  resistance: 1e6,
  capacitance: 10e-12,
  gain: 1,
  output: 1000,
});

/** A jack with a cable into an amplifier. */
export const usualOutput = (id = 'out', name = 'jack'): Output => ({ id, name, chain: [usualCable(), usualInput()] });

/** Resistance of pots over single coils, and over wide double ones, ohm. */
export const USUAL_POT = { single: 250e3, double: 500e3 } as const;
/** Tone capacitor of a guitar and of a bass, F. */
export const USUAL_TONE = { guitar: 22e-9, bass: 47e-9 } as const;

/** A pot fully open. */
export const usualPot = (value: number = USUAL_POT.single): Pot => ({
  value,
  deviation: 0,
  taper: 'audio-10',
  setting: 1,
});
export const usualVolume = (value?: number): Volume => ({ ...usualPot(value), bleed: null });
export const usualTone = (value?: number, capacitance: number = USUAL_TONE.guitar): Tone => ({
  ...usualPot(value),
  capacitance,
});

/** One volume and one tone control over everything that goes to `output`. */
export const usualMaster = (output: string, pot?: number, capacitance?: number, id = 'master'): Control => ({
  id,
  pickup: null,
  output,
  volume: usualVolume(pot),
  tone: usualTone(pot, capacitance),
  toneAt: 'before',
  volumeWiring: 'normal',
});

/** A blend pot in the middle, two gangs. */
export const usualBlend = (from: string, to: string, value?: number): NonNullable<Harness['blend']> => ({
  ...usualPot(value),
  taper: 'linear',
  setting: 0.5,
  gangs: 'two',
  from,
  to,
});

/** What a part has when it is put in: Ω, F, H. */
export const USUAL_FIXED = { resistor: 220e3, capacitor: 1e-9, inductor: 1 } as const;

/** Treble bleeds by kind, F and Ω. */
export const USUAL_BLEED = {
  capacitor: { capacitance: 680e-12, resistance: 150e3 },
  parallel: { capacitance: 1e-9, resistance: 150e3 },
  series: { capacitance: 1e-9, resistance: 130e3 },
} as const;
