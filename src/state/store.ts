/**
 * The page's one mutable place: the current sheet, with its past and its future.
 *
 * `edit` is a step that can be undone, `look` moves the view. Edits that share a `gesture` (a drag, a run of arrow
 * keys on one field) are one step, named after the first of them. A key that begins with "drag " belongs to a pointer
 * that is held down: it may rest as long as it likes, its release ends the gesture.
 */
import { computed, signal } from '@preact/signals-core';
import type { Build } from '../../shared/document/build.ts';
import type { Letter, Sheet, View } from '../../shared/document/sheet.ts';

export interface Step {
  /** What was done, as the undo button says it: `move neck pickup`. */
  name: string;
  before: Sheet;
}

const DEPTH = 200;
/** Edits of one gesture further apart than this are steps of their own, ms. */
const GESTURE_PAUSE = 1500;

export class Store {
  readonly sheet;
  readonly past = signal<readonly Step[]>([]);
  readonly future = signal<readonly Step[]>([]);
  readonly undoName = computed(() => this.past.value.at(-1)?.name ?? null);
  readonly redoName = computed(() => this.future.value.at(-1)?.name ?? null);
  #gesture: string | null = null;
  #gestureAt = 0;

  constructor(initial: Sheet) {
    this.sheet = signal<Sheet>(initial);
  }

  get value(): Sheet {
    return this.sheet.value;
  }

  /** Replaces the sheet by `change(sheet)` as a step called `name`. An unchanged sheet is no step. */
  edit(name: string, change: (sheet: Sheet) => Sheet, gesture: string | null = null): void {
    const before = this.sheet.peek();
    const after = change(before);
    if (after === before) return;
    const now = Date.now();
    const held = gesture?.startsWith('drag ') || now - this.#gestureAt < GESTURE_PAUSE;
    const joined = gesture !== null && gesture === this.#gesture && held;
    this.#gesture = gesture;
    this.#gestureAt = now;
    if (!joined) this.past.value = [...this.past.peek().slice(1 - DEPTH), { name, before }];
    this.future.value = [];
    this.sheet.value = after;
  }

  /** Ends the running gesture: the next edit is a step of its own. */
  endGesture(): void {
    this.#gesture = null;
  }

  look(change: Partial<View>): void {
    const sheet = this.sheet.peek();
    this.sheet.value = { ...sheet, view: { ...sheet.view, ...change } };
  }

  /** Takes one step back; the view stays where it is as far as it still can. */
  undo(): void {
    const step = this.past.peek().at(-1);
    if (!step) return;
    this.past.value = this.past.peek().slice(0, -1);
    this.future.value = [...this.future.peek(), { name: step.name, before: this.sheet.peek() }];
    this.#restore(step.before);
  }

  redo(): void {
    const step = this.future.peek().at(-1);
    if (!step) return;
    this.future.value = this.future.peek().slice(0, -1);
    this.past.value = [...this.past.peek(), { name: step.name, before: this.sheet.peek() }];
    this.#restore(step.before);
  }

  #restore(sheet: Sheet): void {
    this.endGesture();
    this.sheet.value = { ...sheet, view: fitView(sheet, this.sheet.peek().view) };
  }
}

/** The view with every choice that `sheet` no longer offers replaced by one that it does. */
export function fitView(sheet: Sheet, view: View): View {
  const letters = sheet.builds.map(slot => slot.letter);
  const heard = letters.includes(view.heard) ? view.heard : letters[0];
  const reference = letters.includes(view.reference) ? view.reference : letters[0];
  const build = buildOf(sheet, heard);
  const pickup = build.pickups.some(p => p.id === view.pickup) ? view.pickup : build.pickups[0].id;
  return { ...view, heard, reference, pickup, string: Math.min(view.string, build.instrument.strings.length) };
}

export const buildOf = (sheet: Sheet, letter: Letter): Build =>
  (sheet.builds.find(slot => slot.letter === letter) ?? sheet.builds[0]).build;

/** The sheet with the build at `letter` replaced; an edited instrument goes to all builds when they share it. */
export function withBuild(sheet: Sheet, letter: Letter, change: (build: Build) => Build): Sheet {
  const before = buildOf(sheet, letter);
  const after = change(before);
  if (after === before) return sheet;
  const spread = sheet.sameInstrument && after.instrument !== before.instrument;
  return {
    ...sheet,
    builds: sheet.builds.map(slot => {
      if (slot.letter === letter) return { letter, build: after };
      return spread ? { letter: slot.letter, build: { ...slot.build, instrument: after.instrument } } : slot;
    }),
  };
}
