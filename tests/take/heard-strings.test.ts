/** A recorded take is heard on the strings that were recorded, unless the person says otherwise. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';
import { response } from '../../shared/response/response.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { asHeard, stringsHeard, unlikeStrings } from '../../shared/take/heard-strings.ts';
import { parseManifest } from '../../shared/take/manifest.ts';

const manifest = parseManifest(
  JSON.parse(readFileSync(new URL('../../samples/manifest.json', import.meta.url), 'utf8')),
);
const [recording] = manifest.recordings;
const TAKE = 'open-strings-strum';
const [demo, single] = demoBuilds();
const light = { ...single, instrument: STRING_SETS.find(s => s.id === 'guitar-6')!.instrument };

describe('strings of a recorded take', () => {
  test('the demo instrument is the one that was recorded: nothing has to be put in', () => {
    expect(demo.instrument.strings.map(s => s.inharmonicity)).toEqual(
      recording.channels.map(c => c.inharmonicity.value),
    );
    expect(asHeard(demo, manifest, TAKE, 'take')).toBe(demo);
    expect(unlikeStrings(demo, recording)).toEqual([]);
  });

  test('another set is heard with the B of the recording, and with nothing else changed', () => {
    const heard = asHeard(light, manifest, TAKE, 'take');
    recording.channels.forEach((channel, i) => {
      expect(stringModel(heard.instrument.strings[i]).B).toBeCloseTo(channel.inharmonicity.value, 12);
      expect({ ...heard.instrument.strings[i], inharmonicity: null }).toEqual(light.instrument.strings[i]);
    });
    expect({ ...heard, instrument: null }).toEqual({ ...light, instrument: null });
    expect(asHeard(light, manifest, TAKE, 'take')).toBe(heard);
    // the ratios 0.62 to 1.29 and the plain third say that every one of these strings is another
    expect(unlikeStrings(light, recording).length).toBeGreaterThanOrEqual(5);
  });

  test('the person may choose the instrument; modelled takes, own takes and unknown ones bring no strings', () => {
    expect(asHeard(light, manifest, TAKE, 'instrument')).toBe(light);
    for (const take of ['modelled-strum', 'own-1', 'nothing']) {
      expect(asHeard(light, manifest, take, 'take')).toBe(light);
      expect(stringsHeard(manifest, take, 'take')).toBeNull();
    }
  });

  test('strings without a recorded one near them keep their own', () => {
    const seven = { ...single, instrument: STRING_SETS.find(s => s.id === 'guitar-7')!.instrument };
    const heard = asHeard(seven, manifest, TAKE, 'take');
    expect(heard.instrument.strings[6]).toBe(seven.instrument.strings[6]);
    expect(heard.instrument.strings[5].inharmonicity).toBe(recording.channels[5].inharmonicity.value);
  });

  test('a partial of the recording on a node of the coil is silent as heard, and is not on the instrument of its own', () => {
    // G: x such that partial 12 of a string has a node there
    const s = 2;
    const length = light.instrument.strings[s].scale;
    const pickup = single.pickups[0];
    const { x } = coilOnString(light, pickup, pickup.coils[0], s);
    const placed = { ...light, pickups: [{ ...pickup, position: pickup.position + length / 12 - x }] };
    const B = recording.channels[s].inharmonicity.value;
    const f = 12 * light.instrument.strings[s].pitch * Math.sqrt(1 + B * 144);
    const level = (build: typeof placed) => {
      const { re, im } = response(build, s, 2, Float64Array.of(f));
      return Math.hypot(re[0], im[0]);
    };
    const heard = asHeard(placed, manifest, TAKE, 'take');
    expect(partial(stringModel(heard.instrument.strings[s]), 12)).toBeCloseTo(f, 6);
    expect(level(heard)).toBeLessThan(level(placed) * 1e-6);
  });
});
