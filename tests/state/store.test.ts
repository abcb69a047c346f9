import { describe, expect, test, vi } from 'vitest';
import { buildOf, editBuild, editInstrument, renameBuild } from '../../shared/document/edits/builds.ts';
import { setValue } from '../../shared/document/edits/value.ts';
import { fitView } from '../../shared/document/fit-view.ts';
import { withValueAt } from '../../shared/document/pointer.ts';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { Store } from '../../src/state/store.ts';

const rename =
  (name: string) =>
  (store: Store, gesture: string | null = null) =>
    store.edit(`rename to ${name}`, sheet => renameBuild(sheet, 'A', name).sheet, gesture);

describe('store', () => {
  test('a step can be taken back and done again, named', () => {
    const store = new Store(demoSheet());
    const before = store.value;
    rename('one')(store);
    expect(store.undoName.value).toBe('rename to one');
    store.undo();
    expect(store.value.builds).toEqual(before.builds);
    expect(store.redoName.value).toBe('rename to one');
    store.redo();
    expect(buildOf(store.value, 'A').name).toBe('one');
  });

  test('edits of one gesture are one step until it ends or pauses', () => {
    vi.useFakeTimers();
    try {
      const store = new Store(demoSheet());
      for (const name of ['a', 'b', 'c']) rename(name)(store, 'drag');
      expect(store.past.value.length).toBe(1);
      store.endGesture();
      rename('d')(store, 'drag');
      expect(store.past.value.length).toBe(2);
      vi.advanceTimersByTime(5000);
      rename('e')(store, 'drag');
      expect(store.past.value.length).toBe(3);
      store.undo();
      store.undo();
      expect(buildOf(store.value, 'A').name).toBe('c');
    } finally {
      vi.useRealTimers();
    }
  });

  test('an edit after undo drops what could be done again; looking around drops nothing', () => {
    const store = new Store(demoSheet());
    rename('one')(store);
    store.undo();
    store.look({ heard: 'B' });
    expect(store.redoName.value).toBe('rename to one');
    rename('two')(store);
    expect(store.redoName.value).toBeNull();
  });

  test('undo and redo take back the work and leave the reader where he stands', () => {
    const store = new Store(demoSheet());
    rename('one')(store);
    const stands = { reading: 'impedance', station: 'coils', volume: -30, heard: 'B', point: 3 } as const;
    store.look(stands);
    store.undo();
    expect(store.value.view).toMatchObject(stands);
    store.look({ reading: 'partials', units: 'in' });
    store.redo();
    expect(buildOf(store.value, 'A').name).toBe('one');
    expect(store.value.view).toMatchObject({ ...stands, reading: 'partials', units: 'in' });
  });

  test('what a step forced out of the view comes back with it, unless something else was chosen since', () => {
    const store = new Store(demoSheet());
    store.look({ string: 6, pickup: store.value.builds[0].build.pickups[0].id });
    const four = () =>
      store.edit('four strings', sheet => {
        const cut = editInstrument(sheet, 'A', i => ({ ...i, strings: i.strings.slice(0, 4) })).sheet;
        return { ...cut, view: fitView(cut, cut.view) };
      });
    four();
    expect(store.value.view.string).toBe(4);
    store.undo();
    expect(store.value.view.string).toBe(6);
    store.redo();
    expect(store.value.view.string).toBe(4);
    store.undo();
    four();
    store.look({ string: 2 });
    store.undo();
    expect(store.value.view.string).toBe(2);
  });

  test('two hundred steps can be taken back, older ones are forgotten', () => {
    const store = new Store(demoSheet());
    for (let i = 1; i <= 230; i++) rename(`name ${i}`)(store);
    expect(store.past.value).toHaveLength(200);
    while (store.undoName.value) store.undo();
    expect(buildOf(store.value, 'A').name).toBe('name 30');
    while (store.redoName.value) store.redo();
    expect(buildOf(store.value, 'A').name).toBe('name 230');
  });

  test('changing one build leaves the others the same objects', () => {
    const sheet = demoSheet();
    const after = editBuild(sheet, 'A', build => setValue(build, '/note', 'changed')).sheet;
    expect(buildOf(after, 'B')).toBe(buildOf(sheet, 'B'));
  });

  test('an edit of the instrument goes to every build when they share it, and to one when not', () => {
    const sheet = demoSheet();
    const frets = (s: typeof sheet) => editInstrument(s, 'A', instrument => ({ ...instrument, frets: 24 })).sheet;
    expect(buildOf(frets({ ...sheet, sameInstrument: true }), 'B').instrument.frets).toBe(24);
    expect(buildOf(frets({ ...sheet, sameInstrument: false }), 'B').instrument.frets).not.toBe(24);
  });

  test('undo of an added build leaves a view that points at what is there', () => {
    const sheet = demoSheet();
    const view = fitView(sheet, { ...sheet.view, heard: 'H', reference: 'G', pickup: 'gone', string: 12 });
    expect(view.heard).toBe('A');
    expect(view.reference).toBe('A');
    expect(buildOf(sheet, 'A').pickups.map(p => p.id)).toContain(view.pickup);
    expect(view.string).toBe(6);
  });

  test('what the parser would refuse is refused with a reason, and the sheet before it stays', () => {
    const refused: string[] = [];
    const store = new Store(demoSheet(), (step, why) => refused.push(`${step}: ${why}`));
    const before = store.value;
    const broken = (pointer: string, value: unknown) => {
      const done = store.edit('break', sheet => ({
        ...sheet,
        builds: sheet.builds.map(slot => ({ ...slot, build: withValueAt(slot.build, pointer, value) })),
      }));
      expect(done).toBe(false);
    };
    broken('/pickups/0/position', 0.0001);
    broken('/harness/selected', 9);
    broken('/harness/positions/0/taps/0/pickup', 'none');
    store.edit('break', sheet => ({ ...sheet, title: 'x'.repeat(81) }));
    store.edit('break', sheet => ({ ...sheet, builds: [] }));
    expect(refused).toHaveLength(5);
    expect(refused[0]).toMatch(/^break: build A, pickups\.0\.position: /);
    expect(store.value).toBe(before);
    expect(store.undoName.value).toBeNull();
  });

  test('the view goes only where something is', () => {
    const store = new Store(demoSheet());
    store.look({ fret: 40, string: 12, pickup: 'gone' });
    expect(store.value.view).toMatchObject({ fret: 22, string: 6, pickup: 'neck' });
    const { view } = store.value;
    store.look({ volume: 7 });
    expect(store.value.view).toBe(view);
  });
});
