import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LETTERS } from '../../shared/build/sheet.ts';
import { demoSheet } from '../../src/state/demo.ts';
import { LINK_PREFIX, readLink, writeLink } from '../../src/state/link.ts';

describe('share link', () => {
  test('carries the whole sheet', () => {
    const sheet = demoSheet();
    const read = readLink(writeLink(sheet));
    expect(read).toEqual({ ok: true, sheet });
  });

  test('eight builds stay below 8,000 characters', () => {
    const sheet = demoSheet();
    const builds = LETTERS.map((letter, i) => {
      const { build } = sheet.builds[i % 2];
      const pickups = build.pickups.map(p => ({ ...p, position: p.position + i * 1.3e-3 }));
      return { letter, build: { ...build, name: `Trial ${letter}`, pickups } };
    });
    const link = writeLink({ ...sheet, builds });
    expect(readLink(link)).toEqual({ ok: true, sheet: { ...sheet, builds } });
    expect(link.length).toBeLessThan(8000);
  });

  test('damaged, cut or foreign links give a sentence, never a throw', () => {
    const good = writeLink(demoSheet());
    fc.assert(
      fc.property(fc.nat(good.length - 1), fc.integer({ min: 32, max: 126 }), fc.boolean(), (at, code, cut) => {
        const text = cut
          ? LINK_PREFIX + good.slice(LINK_PREFIX.length, LINK_PREFIX.length + at)
          : good.slice(0, at) + String.fromCharCode(code) + good.slice(at + 1);
        const read = readLink(text);
        if (!read.ok) expect(read.message.length).toBeGreaterThan(10);
      }),
      { numRuns: 300 },
    );
    expect(readLink(`${LINK_PREFIX}bm90aGluZw`).ok).toBe(false);
    expect(readLink('#other=1').ok).toBe(false);
  });
});
