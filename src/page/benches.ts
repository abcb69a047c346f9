/**
 * The benches: kinds of work on the one document, each with a word in the header and a place in the address, each loaded
 * when it is first gone to. The fragment of the address belongs to links (`keep/link.ts`), so a bench stands in the query.
 */
import { signal } from '@preact/signals-core';
import { html, type TemplateResult } from 'lit';

export interface Bench {
  load(): Promise<unknown>;
  template(): TemplateResult;
}

export const BENCHES = {
  sound: { load: () => import('../sound/sound-bench.ts'), template: () => html`<cc-sound></cc-sound>` },
  paper: { load: () => import('../paper/paper-bench.ts'), template: () => html`<cc-paper></cc-paper>` },
} satisfies Record<string, Bench>;
export type BenchName = keyof typeof BENCHES;
export const BENCH_NAMES = Object.keys(BENCHES) as BenchName[];

const FIRST: BenchName = 'sound';

/** The bench that an address names; the first where it names none. */
export const benchIn = (search: string): BenchName => {
  const asked = new URLSearchParams(search).get('bench');
  return BENCH_NAMES.find(name => name === asked) ?? FIRST;
};

/** The address of a bench: what else the query says stays. */
export function addressOf(name: BenchName, href: string = location.href): string {
  const url = new URL(href);
  url.searchParams.delete('bench');
  if (name !== FIRST) url.searchParams.set('bench', name);
  return url.href;
}

/** The bench that is worked at; null until the page has started. */
export const bench = signal<BenchName | null>(null);

function show(name: BenchName): void {
  void BENCHES[name].load();
  bench.value = name;
}

/** Goes to a bench; going back in the browser returns. */
export function goTo(name: BenchName): void {
  if (name === bench.peek()) return;
  history.pushState(null, '', addressOf(name));
  show(name);
}

/** Shows the bench of the address, now and whenever the browser goes back or on; returns how to stop that. */
export function followAddress(): () => void {
  const follow = () => show(benchIn(location.search));
  follow();
  addEventListener('popstate', follow);
  return () => removeEventListener('popstate', follow);
}
