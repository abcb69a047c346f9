/** The manifest's inharmonicities are those of its recordings. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readWav } from '../../shared/audio/wav.ts';
import { fitPartials } from '../../shared/take/estimate/partials.ts';
import { parseManifest } from '../../shared/take/manifest.ts';
import { notePitch } from '../../shared/units.ts';

const samples = new URL('../../samples/', import.meta.url);
const manifest = parseManifest(JSON.parse(readFileSync(new URL('manifest.json', samples), 'utf8')));

describe('partials of every recorded string, from three places in the note', () => {
  for (const { file, string, onset, inharmonicity } of manifest.recordings.flatMap(r => r.channels))
    test(string, async () => {
      const { channels, sampleRate } = await readWav(new Uint8Array(readFileSync(new URL(file, samples))));
      const pitch = notePitch(string);
      for (const later of [0.03, 0.12, 0.25]) {
        const { B } = fitPartials(channels[0], Math.round((onset + later) * sampleRate), sampleRate, {
          pitch,
          inharmonicity: null,
        });
        expect(Math.abs(B - inharmonicity.value)).toBeLessThan(inharmonicity.uncertainty);
      }
      // far less than what sets one string apart from another
      expect(inharmonicity.uncertainty / inharmonicity.value).toBeLessThan(0.04);
    });
});
