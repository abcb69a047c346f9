/** Builds that differ in what could go wrong with a response or a kernel. */
import type { Build } from '../../shared/document/build.ts';
import { demoBass, demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';

const [a, b] = demoBuilds();

/** A copy of `build` that `change` has worked on. */
export function changed(build: Build, change: (copy: Build) => void): Build {
  const copy = structuredClone(build);
  change(copy);
  return copy;
}

const setting = (build: Build, control: 'volume' | 'tone', value: number): Build =>
  changed(build, copy => {
    const pot = copy.harness.controls[0][control];
    if (pot) pot.setting = value;
  });

export const BUILDS: Record<string, Build> = {
  'two coils at the neck': a,
  'single coil at the bridge': b,
  'volume at half': setting(a, 'volume', 0.5),
  'tone at zero': setting(a, 'tone', 0),
  'tone at zero, bridge': setting(b, 'tone', 0),
  slanted: changed(a, copy => {
    copy.pickups[0].slant = 0.3;
  }),
  'wide rectangle': changed(a, copy => {
    for (const coil of copy.pickups[0].coils) coil.window = { shape: 'rectangle', width: 0.03, depth: 0 };
  }),
  'as far as it goes': changed(a, copy => {
    copy.pickups[0].position = 0.379;
  }),
  'hardly loaded': changed(b, copy => {
    for (const pot of [copy.harness.controls[0].volume, copy.harness.controls[0].tone]) if (pot) pot.value = 10e6;
    copy.outputs[0].chain = copy.outputs[0].chain.slice(1);
  }),
  'split pickup, four-string bass': demoBass(),
  'split pickup, five-string bass': changed(demoBass(), copy => {
    const five = STRING_SETS.find(s => s.id === 'bass-5');
    if (five) copy.instrument = structuredClone(five.instrument);
  }),
};
