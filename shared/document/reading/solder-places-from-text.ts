/** Version 1 named the places of soldered parts by the nodes of the network, as text; since version 2 they are references. */
import type { Place } from '../build.ts';

type Plain = Record<string, unknown>;
const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const list = (value: unknown): Plain[] => (Array.isArray(value) ? value.filter(isPlain) : []);

/** The place that node `name` was; the text itself where it was none, for validation to name. */
function placeOf(name: unknown, outputs: readonly Plain[]): Place | unknown {
  if (typeof name !== 'string') return name;
  if (name === 'ground') return { at: 'ground' };
  const output = (number: string | undefined) => outputs[number === undefined ? 0 : Number(number) - 1]?.id;
  const once = /^(hot|jack|end)(?:-(\d+))?$/.exec(name);
  if (once) return { at: once[1] === 'hot' ? 'selector' : once[1], output: output(once[2]) };
  const stage = /^chain:(\d+)(?:-(\d+))?\.out$/.exec(name);
  if (stage) return { at: 'stage', output: output(stage[2]), stage: Number(stage[1]) - 1 };
  const control = /^control:([a-z0-9-]+)\.(out|tone)$/.exec(name);
  if (control) return { at: 'control', control: control[1], end: control[2] };
  const coil = /^([a-z0-9-]+)\.([a-z0-9-]+)\.(hot|cold)$/.exec(name);
  if (coil) return { at: 'coil', pickup: coil[1], coil: coil[2], end: coil[3] };
  const pickup = /^([a-z0-9-]+)\.(hot|cold|out)$/.exec(name);
  if (pickup) return { at: 'pickup', pickup: pickup[1], end: pickup[2] };
  return name;
}

export function placesFromText(old: Plain): Plain {
  const { harness } = old;
  if (!isPlain(harness) || !Array.isArray(harness.fixed)) return old;
  const outputs = list(old.outputs);
  const fixed = harness.fixed.map((part: unknown) =>
    isPlain(part) ? { ...part, from: placeOf(part.from, outputs), to: placeOf(part.to, outputs) } : part,
  );
  return { ...old, harness: { ...harness, fixed } };
}
