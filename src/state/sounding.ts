/**
 * What sounds: the build that the audio thread names, which is not always the one that was asked of it. Every set of
 * kernels goes out under a number and comes back by it once it is heard.
 */
import { computed, signal } from '@preact/signals-core';
import type { Letter } from '../../shared/document/sheet.ts';

/** A set of kernels as it was asked for. */
interface Asked {
  id: number;
  /** null: a listening test's, whose letter is nobody's business. */
  letter: Letter | null;
}

/** Longer than any fade, ms: what is not heard by then is said to be missing. */
const PATIENCE = 400;
/** Askings kept for an answer: a second of a drag. */
const MOST = 60;

let lastId = 0;
let open: readonly Asked[] = [];
let timer: ReturnType<typeof setTimeout> | undefined;

const asked = signal<Asked | null>(null);
const answered = signal<Asked | null>(null);
const late = signal(false);
/** Why the last build asked for cannot be heard at all; null: nothing stands against it. */
const refused = signal<string | null>(null);

function waitAnew(): void {
  clearTimeout(timer);
  late.value = false;
  if (asked.peek() === answered.peek()) return;
  timer = setTimeout(() => {
    late.value = true;
  }, PATIENCE);
}

/** Notes that a build is asked for; the number is what the engine answers with. */
export function ask(letter: Letter | null): number {
  const one: Asked = { id: ++lastId, letter };
  const waiting = asked.peek() !== answered.peek();
  open = [...open.slice(1 - MOST), one];
  asked.value = one;
  refused.value = null;
  if (!waiting) waitAnew();
  return one.id;
}

/** The build asked for last cannot be had. */
export function refuse(why: string): void {
  refused.value = why;
}

/** The engine says that the set of this number is heard. */
export function answer(id: number): void {
  const one = open.find(known => known.id === id);
  if (!one) return;
  // it stays: an engine that takes the place of a failed one answers once more
  open = open.filter(known => known.id >= id);
  answered.value = one;
  waitAnew();
}

/** Nothing is heard any more: the engine is gone. */
export function silence(): void {
  answered.value = null;
}

/** Begins to wait: until now nothing could be heard. */
export const beginToListen = waitAnew;

/** What the engine plays; null: it has not said. */
export const sounding = computed(() => answered.value);

/** What was asked for and is not heard; null: all is as asked. */
export const unheard = computed(() => {
  const wanted = asked.value;
  if (wanted === null || wanted === answered.value) return null;
  const why = refused.value;
  return late.value || why !== null ? { letter: wanted.letter, instead: answered.value?.letter ?? null, why } : null;
});
