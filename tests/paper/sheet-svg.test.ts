import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { drawSchematic } from '../../shared/circuit/drawing/drawing.ts';
import { undrawnValues } from '../../shared/circuit/part-values.ts';
import { withValueAt } from '../../shared/document/pointer.ts';
import { demoBass, demoBuilds, examples } from '../../shared/document/starting/starting-builds.ts';
import { coilOnString } from '../../shared/sensor/placement.ts';
import { STRING_SETS } from '../../shared/string/sets.ts';
import { partial, stringModel } from '../../shared/string/stiff.ts';
import { asHeard } from '../../shared/take/heard-strings.ts';
import { parseManifest } from '../../shared/take/manifest.ts';
import { PAPERS, sheetPages, sheetSvg } from '../../src/paper/sheet-svg.ts';
import { chainLines, pickupRows, stringsNote } from '../../src/paper/sheet-tables.ts';

const [, bridge] = demoBuilds();
const numbers = (pattern: RegExp, text: string): number[] => (pattern.exec(text) ?? []).slice(1).map(Number);

/** Whether every element is closed by its own name, in order. */
function balanced(svg: string): boolean {
  const open: string[] = [];
  for (const [, slash, name, self] of svg.matchAll(/<(\/?)([a-zA-Z]+)(?:\s[^<>]*?)?(\/?)>/g)) {
    if (slash) {
      if (open.pop() !== name) return false;
    } else if (!self) open.push(name);
  }
  return open.length === 0;
}

describe('parts', () => {
  test('what is plugged in is written out, a metre of cable too', () => {
    expect(chainLines(bridge, 'mm')).toEqual(['Plugged in: cable 5 m × 100 pF/m = 500 pF; amplifier input 1 MΩ.']);
    expect(sheetSvg(bridge, { paper: 'a4', units: 'mm' })).toContain('100 pF/m');
    const measured = withValueAt(bridge, '/outputs/0/chain/0/measured', 480e-12);
    expect(chainLines(measured, 'mm')[0]).toContain('cable 5 m, measured 480 pF;');
  });

  test('a parts list has what the drawing of one position leaves out', () => {
    const both = examples().find(({ build }) => build.pickups.length > 1 && build.harness.positions.length > 1)!.build;
    for (const [selected] of both.harness.positions.entries()) {
      const build = { ...both, harness: { ...both.harness, selected } };
      const drawn = drawSchematic(build, 1000).labels.flatMap(({ edit }) => (edit ? [edit] : []));
      const all = [...drawn, ...undrawnValues(build, drawn)].map(({ pointer }) => pointer);
      expect(new Set(all).size).toBe(all.length);
      for (const [i, { coils }] of build.pickups.entries())
        for (const [j] of coils.entries())
          for (const key of ['resistance', 'inductance', 'capacitance'])
            expect(all).toContain(`/pickups/${i}/coils/${j}/${key}`);
      expect(all).toContain('/outputs/0/chain/0/capacitancePerMetre');
    }
  });
});

describe('build sheet', () => {
  for (const paper of ['a4', 'letter'] as const)
    for (const units of ['mm', 'in'] as const)
      test(`${paper}, ${units}: every example fills whole pages of that size, with nothing undefined`, () => {
        const { width, height } = PAPERS[paper];
        for (const { build } of examples()) {
          const pages = sheetPages(build, { paper, units });
          expect(pages.length).toBeGreaterThan(1);
          pages.forEach((page, i) => {
            expect(page).toContain(`width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}"`);
            expect(page).toContain(`>${i + 1} of ${pages.length}<`);
            expect(page).not.toMatch(/NaN|undefined|Infinity/);
            expect(balanced(page)).toBe(true);
          });
        }
      });

  test('the template is full size: millimetres of paper from the saddle line to the pickup are those of the build', () => {
    const pages = sheetPages(bridge, { paper: 'a4', units: 'mm' });
    const template = pages.at(-1)!;
    // the saddle line is the one bold vertical stroke, the label stands 1 mm behind the centre line
    const [saddle] = numbers(/<path d="M([\d.]+) [\d.]+L\1 [\d.]+" stroke="#15242c" stroke-width="0.5"/, template);
    const [label] = numbers(/<text x="([\d.]+)"[^>]*>Bridge 38.0 mm</, template);
    expect(label - 1 - saddle).toBeCloseTo(38, 2);
    const [from, to] = numbers(/data-ruler="100"><path d="M([\d.]+) [\d.]+L([\d.]+) /, template);
    expect(to - from).toBe(100);
  });

  test('the template names every string, draws poles in their size and says what its outline is not', () => {
    const template = sheetPages(bridge, { paper: 'a4', units: 'mm' }).at(-1)!;
    for (const [i, { name }] of bridge.instrument.strings.entries()) expect(template).toContain(`>${i + 1} ${name}<`);
    const { size } = bridge.pickups[0].poles;
    const radii = [...template.matchAll(/<circle[^>]* r="([\d.]+)"/g)].map(match => Number(match[1]));
    expect(radii).toEqual(bridge.instrument.strings.map(() => expect.closeTo((size / 2) * 1000, 2)));
    expect(template).toContain('no routing line');
  });

  test('a pickup far from the saddle goes on over several parts', () => {
    const far = { ...bridge, pickups: [{ ...bridge.pickups[0], position: 0.35 }] };
    const all = sheetPages(far, { paper: 'a4', units: 'mm' }).join('');
    expect(all).toContain('part 1 of 2');
    expect(all).toContain('part 2 of 2');
  });

  test('a gauge is printed in the unit it is written in, a gap in inches as it is, whatever the other', () => {
    const build = structuredClone(demoBuilds()[0]);
    Object.assign(build.instrument.strings[5], { gauge: 0.046 * 0.0254, gaugeIn: 'in' });
    Object.assign(build.instrument.strings[4], { gauge: 0.91e-3, gaugeIn: 'mm' });
    build.pickups[0].height.bass = 0.0875 * 0.0254;
    for (const units of ['mm', 'in'] as const) {
      const sheet = sheetPages(build, { paper: 'a4', units }).join('');
      expect(sheet).toContain('>.046 in<');
      expect(sheet).toContain('>0.91 mm<');
      expect(sheet).toContain(units === 'in' ? '>0.0875 in<' : '>2.22 mm<');
    }
  });

  test('a measured coil stands as it was entered, with its origin and note; the build’s note is printed', () => {
    const build = structuredClone(bridge);
    Object.assign(build.pickups[0].coils[0], {
      resistance: 6123,
      inductance: 2.617,
      origin: 'entered',
      note: 'bridge at 1 kHz',
    });
    build.note = 'Shim by half a turn';
    const cells = pickupRows(build, 'mm')[0].join(' ');
    expect(cells).toContain('6.123 kΩ, 2.617 H, 100 pF (entered: bridge at 1 kHz)');
    expect(pickupRows(bridge, 'mm')[0].join(' ')).toContain('(typical)');
    const sheet = sheetPages(build, { paper: 'a4', units: 'mm' }).join('');
    expect(sheet).toContain('Shim by half a turn');
    expect(sheet.replace(/<[^>]*>/g, ' ')).toMatch(/entered:\s+bridge/);
  });

  test('distances and dips are those of the model', () => {
    const sheet = sheetPages(bridge, { paper: 'a4', units: 'mm' }).join('');
    const bass = demoBass();
    const [middle] = bass.pickups;
    const { x } = coilOnString(bass, middle, middle.coils[0], 3);
    expect(sheetPages(bass, { paper: 'a4', units: 'mm' }).join('')).toContain(`>${(x * 1000).toFixed(1)}<`);
    // a stiff string has its first node over 38 mm where the partial n = 648 / 38 would be
    const string = stringModel(bridge.instrument.strings[5]);
    const null1 = partial(string, 648 / 38);
    expect(sheet).toContain(`${(null1 / 1000).toPrecision(3)} kHz, complete (${(648 / 38).toFixed(1)})`);
  });

  test('title block holds what was written, and no text of a document becomes markup', () => {
    const name = `<script>alert("x")</script> & 'co'`;
    const build = { ...bridge, name, instrument: { ...bridge.instrument, name } };
    const fields = { owner: 'Alder & Son <b>', number: 'D-17', approval: 'R. F.' };
    const svg = sheetSvg(build, { paper: 'a4', units: 'mm', fields });
    expect(svg).toContain('Alder &amp; Son &lt;b&gt;');
    expect(svg).toContain('>D-17<');
    expect(svg).not.toContain('<script');
    expect(svg).not.toContain('<b>');
    expect(balanced(svg.replace(/^<\?xml[^>]*>/, ''))).toBe(true);
    expect(/[^#&a-z0-9]&(?!amp;|lt;|gt;|quot;|#39;)/.test(svg)).toBe(false);
  });
});

describe('which strings the figures are of', () => {
  const manifest = parseManifest(
    JSON.parse(readFileSync(new URL('../../samples/manifest.json', import.meta.url), 'utf8')),
  );
  const { instrument } = STRING_SETS.find(set => set.id === 'guitar-6')!;
  const own = { ...demoBuilds()[0], instrument };
  const take = manifest.takes.find(one => one.kind === 'recorded')!;

  test('a build as it is heard says that its B was recorded, on its own strings that it is computed', () => {
    const [heard, written] = [asHeard(own, manifest, take.id, 'take'), own].map(build =>
      stringsNote(build).replaceAll('−', '-'),
    );
    expect(heard).toContain('E4 2e-5');
    expect(heard).toContain('(measured on the recorded string)');
    expect(heard).not.toContain('computed');
    expect(written).toContain('(computed from the gauge as solid steel');
    expect(written).toContain('(computed from the steel core');
    expect(written).toContain(Number(stringModel(instrument.strings[5]).B.toPrecision(3)).toExponential());
  });

  test('the sheet prints it', () => {
    const sheet = sheetPages(own, { paper: 'a4', units: 'mm' }).join('');
    expect(sheet).toContain('Figures are of strings with this inharmonicity B: E4');
  });
});
