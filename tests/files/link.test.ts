import fc from 'fast-check';
import { deflateSync, strToU8 } from 'fflate';
import { describe, expect, test } from 'vitest';
import { LETTERS } from '../../shared/document/sheet.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { readLink, writeLink } from '../../src/files/link.ts';
import { LINK_PREFIX } from '../../src/files/link-prefix.ts';

const SENT =
  '#s2=7dq7CYBAEEXRihRB7MQS1gUDEew_8FmACCZ-OB1MMMGdw9yS9DG3aMbNoChdWktraS2tn6L04fLvB6WjdJSO0lG6Gw2lo3S9r_f1_qcpvTvak6WzdJb-ok7r22z53zR9WcuUVS7NNtcK0k8hfQc';

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

  test('links of the first version open', () => {
    const sheet = demoSheet();
    const text = Buffer.from(deflateSync(strToU8(JSON.stringify(sheet)), { level: 9 })).toString('base64url');
    expect(readLink(`#s1=${text}`)).toEqual({ ok: true, sheet });
  });

  test('the dictionary earns its keep: a sheet of one’s own is less than a third as long', () => {
    const sheet = demoSheet();
    const own = sheet.builds.map(({ letter, build }) => ({
      letter,
      build: { ...build, pickups: build.pickups.map(p => ({ ...p, position: p.position + 0.0037 })) },
    }));
    const without = deflateSync(strToU8(JSON.stringify({ ...sheet, builds: own })), { level: 9 }).length * (4 / 3);
    expect(writeLink({ ...sheet, builds: own }).length).toBeLessThan(without / 3);
  });

  test('links of the second version hold on to their dictionary', () => {
    // a link as it was sent out once; the text that it refers back to must stay as it was
    const read = readLink(SENT);
    if (!read.ok) throw new Error(read.message);
    expect(read.sheet.title).toBe('Two trials');
    expect(read.sheet.builds.map(({ letter, build }) => [letter, build.name, build.pickups[0].position])).toEqual([
      ['A', 'Neck, two coils side by side', 0.158],
      ['B', 'Bridge, single coil', 0.0405],
    ]);
    expect(read.sheet.builds[1].build.outputs[0].chain[0]).toMatchObject({ kind: 'cable', length: 3.2 });
    expect(read.sheet.take).toBe('modelled-riff');
  });

  test('a link that would fill the memory is refused; one of two million characters opens', () => {
    // the same sheet behind blanks, which JSON allows: only its size tells it apart
    const padded = (length: number): string => {
      const text = JSON.stringify(demoSheet()).padStart(length, ' ');
      return `#s1=${Buffer.from(deflateSync(strToU8(text), { level: 9 })).toString('base64url')}`;
    };
    expect(readLink(padded(2_000_000))).toEqual({ ok: true, sheet: demoSheet() });
    expect(readLink(padded(2_000_001))).toMatchObject({ ok: false });
    expect(padded(50_000_000).length).toBeLessThan(100_000);
    expect(readLink(padded(50_000_000))).toMatchObject({ ok: false });
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
