/**
 * The page's one mutable place: the current sheet, with its past and its future.
 *
 * `edit` is a step that can be undone, `look` moves the view. Edits that share a `gesture` (a drag, a run of arrow
 * keys on one field) are one step, named after the first of them. A key that begins with "drag " belongs to a pointer
 * that is held down: it may rest as long as it likes, its release ends the gesture.
 *
 * What the sheet's own parser would refuse is refused here, and the sheet before it stays: nothing is ever shown or kept
 * that could not be read back.
 */
import { computed, type Signal, signal } from '@preact/signals-core';
import * as v from 'valibot';
import { fitView, viewBack } from '../../shared/document/fit-view.ts';
import { sheetProblem } from '../../shared/document/reading/check-sheet.ts';
import { type Sheet, type View, ViewSchema } from '../../shared/document/sheet.ts';

export interface Step {
  /** What was done, as the undo button says it: `move neck pickup`. */
  name: string;
  before: Sheet;
}

const DEPTH = 200;
/** A hand that has not edited for this long rests, ms. */
const REST = 200;
/** Edits of one gesture further apart than this are steps of their own, ms. */
const GESTURE_PAUSE = 1500;

export class Store {
  readonly sheet;
  readonly past = signal<readonly Step[]>([]);
  readonly future = signal<readonly Step[]>([]);
  /**
   * A hand is at work: an edit of a gesture came less than `REST` ago. What is heard and drawn follows it at once; what is
   * read, figures and sentences, may wait until it rests (`at-rest.ts`).
   */
  readonly working = signal(false);
  readonly undoName = computed(() => this.past.value.at(-1)?.name ?? null);
  readonly redoName = computed(() => this.future.value.at(-1)?.name ?? null);
  #gesture: string | null = null;
  #gestureAt = 0;
  #rest: ReturnType<typeof setTimeout> | undefined;

  readonly #refused: (step: string, why: string) => void;

  /** `refused` is told which step was not taken, and why. */
  constructor(initial: Sheet, refused: (step: string, why: string) => void = () => undefined) {
    this.sheet = signal<Sheet>(initial);
    this.#refused = refused;
  }

  get value(): Sheet {
    return this.sheet.value;
  }

  /**
   * Replaces the sheet by `change(sheet)` as a step called `name`; false: it was refused. An unchanged sheet is no step.
   */
  edit(name: string, change: (sheet: Sheet) => Sheet, gesture: string | null = null): boolean {
    const before = this.sheet.peek();
    const after = change(before);
    if (after === before) return true;
    const problem = sheetProblem(after, before);
    if (problem !== null) {
      this.#refused(name, problem);
      return false;
    }
    const now = Date.now();
    const held = gesture?.startsWith('drag ') || now - this.#gestureAt < GESTURE_PAUSE;
    const joined = gesture !== null && gesture === this.#gesture && held;
    this.#gesture = gesture;
    this.#gestureAt = now;
    if (!joined) this.past.value = [...this.past.peek().slice(1 - DEPTH), { name, before }];
    this.future.value = [];
    this.#work(gesture !== null);
    this.sheet.value = after;
    return true;
  }

  /** Ends the running gesture: the next edit is a step of its own. */
  endGesture(): void {
    this.#gesture = null;
    this.#work(false);
  }

  /** A hand is at work for a while from now on, or at rest at once. */
  #work(on: boolean): void {
    clearTimeout(this.#rest);
    if (on) this.#rest = setTimeout(() => this.#work(false), REST);
    this.working.value = on;
  }

  /** Moves the view, as far as what it should show is there. */
  look(change: Partial<View>): void {
    const sheet = this.sheet.peek();
    const view = fitView(sheet, { ...sheet.view, ...change });
    if (v.is(ViewSchema, view)) this.sheet.value = { ...sheet, view };
  }

  /** Takes one step back; the view stays where it is but for what the step itself had moved. */
  undo(): void {
    this.#go(this.past, this.future);
  }

  redo(): void {
    this.#go(this.future, this.past);
  }

  /** The newest step of `from` is taken, and the way back put on `back`. */
  #go(from: Signal<readonly Step[]>, back: Signal<readonly Step[]>): void {
    const step = from.peek().at(-1);
    if (!step) return;
    const { name, before } = step;
    const now = this.sheet.peek();
    from.value = from.peek().slice(0, -1);
    back.value = [...back.peek(), { name, before: now }];
    this.endGesture();
    this.sheet.value = { ...before, view: viewBack(now, before) };
  }
}
