import { describe, expect, test, vi } from 'vitest';
import { demoSheet } from '../../shared/document/starting/demo-sheet.ts';
import { buildOf, fitView, Store, withBuild } from '../../src/state/store.ts';

const rename =
  (name: string) =>
  (store: Store, gesture: string | null = null) =>
    store.edit(`rename to ${name}`, sheet => withBuild(sheet, 'A', build => ({ ...build, name })), gesture);

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
    const after = withBuild(sheet, 'A', build => ({ ...build, name: 'changed' }));
    expect(buildOf(after, 'B')).toBe(buildOf(sheet, 'B'));
  });

  test('an edit of the instrument goes to every build when they share it, and to one when not', () => {
    const sheet = demoSheet();
    const frets = (s: typeof sheet) =>
      withBuild(s, 'A', build => ({ ...build, instrument: { ...build.instrument, frets: 24 } }));
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
});
