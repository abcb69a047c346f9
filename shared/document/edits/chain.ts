/** Edits of what is plugged in after a jack. Parts soldered behind a stage follow it. */
import { usualBuffer, usualCable, usualInput } from '../../circuit/usual.ts';
import { type Build, MOST, type Place, type Stage } from '../build.ts';
import { moved, withoutAt } from './lists.ts';
import { type Edited, settle } from './settle.ts';

const USUAL = { cable: usualCable, buffer: usualBuffer, input: usualInput } as const;

/** The build with another chain at an output; stages are known again by being the same objects. */
function edited(build: Build, output: number, change: (chain: Stage[]) => Stage[]): Edited {
  const own = build.outputs[output];
  const chain = own && change(own.chain);
  if (!own || chain === own.chain) return settle(build, build);
  const followed = (place: Place): Place =>
    place.at === 'stage' && place.output === own.id
      ? { ...place, stage: chain.indexOf(own.chain[place.stage]) }
      : place;
  const fixed = build.harness.fixed.map(part => ({ ...part, from: followed(part.from), to: followed(part.to) }));
  return settle(build, {
    ...build,
    outputs: build.outputs.map(o => (o === own ? { ...o, chain } : o)),
    harness: build.harness.fixed.length > 0 ? { ...build.harness, fixed } : build.harness,
  });
}

/** A stage where it makes sense: a cable and a buffer before the input, an input at the end. */
export const addStage = (build: Build, output: number, kind: Stage['kind']): Edited =>
  edited(build, output, chain => {
    if (chain.length >= MOST.stages) return chain;
    const ahead = kind !== 'input' && chain.at(-1)?.kind === 'input' ? chain.length - 1 : chain.length;
    return [...chain.slice(0, ahead), USUAL[kind](), ...chain.slice(ahead)];
  });

export const removeStage = (build: Build, output: number, index: number): Edited =>
  edited(build, output, chain => withoutAt(chain, index));

export const moveStage = (build: Build, output: number, index: number, by: number): Edited =>
  edited(build, output, chain => moved(chain, index, by));
