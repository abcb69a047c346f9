/** What decides how an own take sounds, and only that, is in its key: a take is prepared again exactly when it must be. */
import { describe, expect, test } from 'vitest';
import { demoBuilds } from '../../../shared/document/starting/starting-builds.ts';
import { type OwnTake, smallPickup, soundKey } from '../../../shared/take/own/own-take.ts';

const [{ instrument }, second] = demoBuilds();
const take: OwnTake = {
  id: 'own-test',
  name: 'test',
  file: null,
  added: 0,
  sampleRate: 48000,
  frames: 480000,
  size: 0,
  notes: [],
  trim: { from: 1, to: 5 },
  pitches: [null],
  roles: [{ kind: 'string', string: 6 }],
  through: { kind: 'pickup', pickup: smallPickup('single-rods', 0.1, instrument) },
  maximumLift: 40,
  corner: null,
};
const key = (part: Partial<OwnTake> = {}, strings = instrument, rate = 48000) =>
  soundKey({ ...take, ...part }, strings, rate);

describe('the key of the sound', () => {
  const changes: Record<string, string> = {
    'another take': key({ id: 'own-other' }),
    'trimmed at its start': key({ trim: { from: 1.5, to: 5 } }),
    'trimmed at its end': key({ trim: { from: 1, to: 4 } }),
    'another string': key({ roles: [{ kind: 'string', string: 5 }] }),
    'recorded elsewhere': key({
      through: { kind: 'pickup', pickup: smallPickup('single-rods', 0.12, instrument) },
    }),
    'through nothing known': key({ through: { kind: 'unknown' } }),
    'a lower limit of lift': key({ maximumLift: 30 }),
    'a corner': key({ corner: 100 }),
    'another rate': key({}, instrument, 44100),
    'another gauge': key(
      {},
      {
        ...instrument,
        strings: instrument.strings.map((s, i) => (i === 5 ? { ...s, gauge: s.gauge * 1.1 } : s)),
      },
    ),
  };
  for (const [what, changed] of Object.entries(changes))
    test(`${what}: prepared again`, () => expect(changed).not.toBe(key()));

  test('every change has a key of its own', () => {
    expect(new Set(Object.values(changes)).size).toBe(Object.keys(changes).length);
  });

  test('a name, a date or another build of the same strings: as it was', () => {
    expect(key({ name: 'other', added: 7, notes: ['a note'] })).toBe(key());
    expect(key({ through: { kind: 'unknown' } }, second.instrument)).toBe(key({ through: { kind: 'unknown' } }));
  });
});
