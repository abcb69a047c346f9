/** The page's store and what is derived from it: every part of the page reads these, none keeps a copy. */
import { computed, type ReadonlySignal } from '@preact/signals-core';
import type { Spectrum } from '../../shared/complex.ts';
import type { Build, TestPoint } from '../../shared/document/build.ts';
import { buildOf, type EditedSheet, editBuild } from '../../shared/document/edits/builds.ts';
import type { Edited, Went } from '../../shared/document/edits/settle.ts';
import { withFittingTake } from '../../shared/document/edits/takes.ts';
import type { Letter, Sheet, Slot } from '../../shared/document/sheet.ts';
import { response } from '../../shared/response/response.ts';
import { matchingString } from '../../shared/string/matching.ts';
import { asHeard } from '../../shared/take/heard-strings.ts';
import { isLink } from '../files/link-prefix.ts';
import { words } from '../words/edit-words.ts';
import { manifest } from '../workers/shipped-takes.ts';
import type { Entry } from './journal.ts';
import { notify } from './notices.ts';
import { type Opened, restoreSheet } from './persist.ts';
import { Store } from './store.ts';

/** What the page was opened with, and its store; both are there once `openStore` has been called. */
export let opened: Opened;
/** The journal as it was found. */
export let journal: ReadonlyMap<string, Entry>;
export let store: Store;

/** Opens the sheet of the link, of this browser, or the demo: the page's first act. */
export async function openStore(found: ReadonlyMap<string, Entry>): Promise<void> {
  journal = found;
  const linked = isLink(location.hash) ? (await import('../files/link.ts')).readLink(location.hash) : null;
  opened = restoreSheet(journal, linked);
  store = new Store(opened.sheet, (step, why) => notify(words.refused(step, why), 'warning'));
  store.past.value = opened.past;
}

export const view = computed(() => store.sheet.value.view);
/** A build of the sheet on the strings that the take of the moment is heard on. */
export const onHeardStrings = (build: Build): Build =>
  asHeard(build, manifest, store.sheet.value.take, store.sheet.value.strings);
/** The builds as they are written, for whatever edits, prints or keeps them. */
export const written = computed(() => store.sheet.value.builds);
export const writtenHeard = computed<Build>(() => buildOf(store.sheet.value, view.value.heard));
/** The builds as they are heard, for everything that sounds, is drawn or counted. */
export const slots = computed<readonly Slot[]>(() =>
  written.value.map(slot => {
    const build = onHeardStrings(slot.build);
    return build === slot.build ? slot : { ...slot, build };
  }),
);
export const heard = computed<Build>(() => onHeardStrings(writtenHeard.value));
export const reference = computed<Build>(() => onHeardStrings(buildOf(store.sheet.value, view.value.reference)));
export const heardPickup = computed(
  () => heard.value.pickups.find(pickup => pickup.id === view.value.pickup) ?? heard.value.pickups[0],
);
/** Index of the selected string in the heard build. */
export const stringIndex = computed(() => Math.min(view.value.string, heard.value.instrument.strings.length) - 1);

/** Edits the sheet as one named step; what the edit took along is told in a line. */
export function editSheet(name: string, edit: (sheet: Sheet) => EditedSheet, gesture: string | null = null): void {
  let went: readonly Went[] = [];
  const taken = store.edit(
    name,
    sheet => {
      const edited = withFittingTake(sheet, edit(sheet), manifest);
      went = edited.went;
      return edited.sheet;
    },
    gesture,
  );
  if (taken && went.length > 0) notify(words.went(went, view.peek().units));
}

/** Edits the heard build likewise. */
export const editHeard = (name: string, edit: (build: Build) => Edited, gesture: string | null = null): void =>
  editSheet(name, sheet => editBuild(sheet, sheet.view.heard, edit), gesture);

/** Frequencies of every plotted response, Hz: 20 Hz to 20 kHz, logarithmic. */
export const PLOT_GRID = Float64Array.from({ length: 1201 }, (_, i) => 20 * 1000 ** (i / 1200));

export interface Curve {
  letter: Letter;
  build: Build;
  string: number;
  spectrum: Spectrum;
}

const cache = new WeakMap<Build, Map<string, Spectrum>>();

/** `response` on the plot grid, remembered for as long as the build is the same object. */
export function plotted(build: Build, string: number, point: TestPoint): Spectrum {
  let curves = cache.get(build);
  if (!curves) cache.set(build, (curves = new Map()));
  const key = `${string}/${point}`;
  let curve = curves.get(key);
  if (!curve) curves.set(key, (curve = response(build, string, point, PLOT_GRID)));
  return curve;
}

export interface Compared {
  letter: Letter;
  build: Build;
  /** Index of the string that belongs beside the selected one of the heard build; null: the instrument has none. */
  string: number | null;
}

/** Every build with the string that is looked at. */
export const compared: ReadonlySignal<readonly Compared[]> = computed(() =>
  slots.value.map(({ letter, build }) => ({
    letter,
    build,
    string: matchingString(heard.value.instrument, stringIndex.value, build.instrument),
  })),
);

/** The selected string's response, at the test point that is heard, of every build that has this string. */
export const curves: ReadonlySignal<readonly Curve[]> = computed(() =>
  compared.value.flatMap(({ letter, build, string }) =>
    string === null ? [] : [{ letter, build, string, spectrum: plotted(build, string, view.value.point) }],
  ),
);

/** A curve of every build, for what belongs to no string: of the string beside the selected one, else of its first. */
export const everyCurve: ReadonlySignal<readonly Curve[]> = computed(() =>
  compared.value.map(({ letter, build, string }) => ({
    letter,
    build,
    string: string ?? 0,
    spectrum: plotted(build, string ?? 0, view.value.point),
  })),
);
