/**
 * What the page lets be heard: the take that the sheet names, through the kernels of the build that it hears. One host,
 * kept in step with the sheet by effects; the dock shows these signals and calls these functions.
 */
import { batch, computed, effect, signal } from '@preact/signals-core';
import { amplitudeOfDb } from '../../shared/decibels.ts';
import type { Build } from '../../shared/document/build.ts';
import type { Departure } from '../../shared/response/kernel.ts';
import type { ContextState } from '../audio/context.ts';
import { engineModule } from '../audio/engine-module.ts';
import type { Meters } from '../audio/engine-node.ts';
import { AudioHost, RECENT_SAMPLES } from '../audio/host.ts';
import { words } from '../words/dock-words.ts';
import { words as recordingWords } from '../words/recordings-words.ts';
import { loadOwnTake } from '../workers/recordings-client.ts';
import { loadTake } from '../workers/shipped-takes.ts';
import type { AskOptions } from '../workers/worker-client.ts';
import { kernelsOf } from './kernels.ts';
import { listeningGain } from './level-match.ts';
import { liveTap } from './live-mode.ts';
import { notify } from './notices.ts';
import { keptFile, ownTakes, shelfRead } from './own-recordings.ts';
import { heard, store, view } from './page.ts';
import { answer, ask, beginToListen, refuse, silence, sounding, unheard } from './sounding.ts';
import { type CurrentTake, currentTake } from './take.ts';

/** Rate that takes are prepared at until the sound device has told its own, Hz. */
const LIKELY_RATE = 48000;

export const host = new AudioHost();
export const playing = signal(false);
export const contextState = signal<ContextState>('none');
export const meters = signal<Meters | null>(null);
/** Part of the take that is prepared, 0 to 1; null: nothing is being prepared. */
export const preparing = signal<number | null>(null);
export const takeProblem = signal<string | null>(null);
const rate = signal(LIKELY_RATE);
/** What the sound of the heard build lacks of its curve; null: nothing. */
export const soundDeparts = signal<Departure | null>(null);

/** What a listening test lets be heard in place of the build being edited; null: no test runs. */
export interface BlindSound {
  build: Build;
  /** dB. */
  gain: number;
}
export const blindOverride = signal<BlindSound | null>(null);
const heardGain = computed(() => listeningGain(view.value.heard));

/** Strings that carry a mixture in the take that plays. */
const uncombed = lasting(
  () => currentTake.value?.uncombed ?? [],
  (a, b) => a.join() === b.join(),
);

/** Mark that `npm run bench` waits for. */
const KERNELS_POSTED = 'kernels-posted';

/** Hands the kernels of the moment to the engine. */
function postKernels(): void {
  const { point } = view.peek();
  const blind = blindOverride.peek();
  const id = ask(blind ? null : view.peek().heard);
  try {
    const set = kernelsOf(blind?.build ?? heard.peek(), point, rate.peek(), uncombed.peek());
    soundDeparts.value = blind ? null : set.departure;
    host.setKernels({ outputs: set.outputs, gain: amplitudeOfDb(blind?.gain ?? heardGain.peek()), id });
  } catch (error) {
    refuse(error instanceof Error ? error.message : String(error));
  }
  performance.clearMarks(KERNELS_POSTED);
  performance.mark(KERNELS_POSTED);
}

/** The letter that sounds, by what the engine says; the chosen one while nothing plays; null: none is heard yet. */
export const letterHeard = computed(() => {
  const { heard: chosen } = view.value;
  if (!playing.value) return chosen;
  return sounding.value === null ? null : (sounding.value.letter ?? chosen);
});
/** What was asked for and is not heard although something plays, in words; null: all is as asked. */
export const unheardText = computed(() => (playing.value && unheard.value ? words.unheard(unheard.value) : null));

/** What decides how the take sounds before any pickup, so that it is prepared again only when that changes. */
const takeId = computed(() => store.sheet.value.take);
const pluckPoint = computed(() => store.sheet.value.pluck);
const ownTake = computed(() => ownTakes.value.find(take => take.id === takeId.value) ?? null);
const instrument = lasting(
  () => heard.value.instrument,
  (a, b) => a.frets === b.frets && JSON.stringify(a.strings) === JSON.stringify(b.strings),
);

/** A computed that keeps its old value while the new one is `same`, so that nothing behind it runs for nothing. */
function lasting<T>(compute: () => T, same: (a: T, b: T) => boolean) {
  let last: T | undefined;
  return computed(() => {
    const next = compute();
    if (last === undefined || !same(last, next)) last = next;
    return last;
  });
}

let wanted: AbortController | null = null;

/** The take as it goes into the engine: shipped, or an own recording without what it was recorded through. */
async function loadAny(
  id: string,
  strings: Build['instrument'],
  sampleRate: number,
  options: Pick<AskOptions, 'signal' | 'onProgress'>,
): Promise<CurrentTake> {
  const own = ownTake.peek();
  if (own) {
    const { channels, uncoloured, uncombed } = await loadOwnTake(own, keptFile(own), strings, sampleRate, options);
    // a mixture says nothing about the string whose place it takes
    const weak = strings.strings.map((_, i) =>
      uncombed.includes(i) ? [] : (uncoloured.find(one => one.string === i + 1)?.weak ?? []),
    );
    return { id, channels, sampleRate, uncoloured, uncombed, weak };
  }
  if (id.startsWith('own-')) throw new Error(recordingWords.elsewhere);
  const take = await loadTake(id, strings, sampleRate, pluckPoint.peek(), options);
  return { id, channels: take.channels, sampleRate: take.sampleRate };
}

/** Prepares the take that the sheet names, on the strings that are heard, at the rate that is known. */
function prepare(): void {
  const id = takeId.value;
  const strings = instrument.value;
  const sampleRate = rate.value;
  void pluckPoint.value;
  wanted?.abort();
  preparing.value = 0;
  if (ownTake.value === null && id.startsWith('own-') && !shelfRead.value) return;
  const request = new AbortController();
  wanted = request;
  loadAny(id, strings, sampleRate, {
    signal: request.signal,
    onProgress: part => {
      if (!request.signal.aborted) preparing.value = part;
    },
  }).then(
    take => {
      if (request.signal.aborted) return;
      const before = currentTake.peek();
      // the same sound prepared for another build of the same strings plays on as it is
      const same = before?.id === id && before.channels === take.channels;
      batch(() => {
        preparing.value = null;
        takeProblem.value = null;
        if (!same) currentTake.value = take;
      });
      if (!same && host.playing) host.play(take, { loop: loopNow(), from: host.position() });
    },
    (error: unknown) => {
      if (request.signal.aborted) return;
      batch(() => {
        preparing.value = null;
        takeProblem.value = error instanceof Error ? error.message : String(error);
      });
    },
  );
}

/** Length of the current take, s. */
export const duration = computed(() => {
  const take = currentTake.value;
  return take ? Math.max(0, ...take.channels.map(channel => channel.length)) / take.sampleRate : 0;
});

/** The part that plays round and round; null: play to the end. */
const loopRegion = lasting(
  () => {
    if (!view.value.looping || duration.value === 0) return null;
    const loop = store.sheet.value.loop;
    const to = Math.min(loop?.to ?? duration.value, duration.value);
    const from = Math.min(loop?.from ?? 0, to);
    return to - from >= 0.1 ? { from, to } : { from: 0, to: duration.value };
  },
  (a, b) => a?.from === b?.from && a?.to === b?.to,
);
const loopNow = () => loopRegion.peek();

/** Starts or stops; call it inside the person's gesture. */
export async function toggle(from?: number): Promise<void> {
  if (playing.peek() && from === undefined) {
    host.stop();
    playing.value = false;
    return;
  }
  const resumeAt = from ?? host.position();
  try {
    await host.start();
  } catch (error) {
    notify(error instanceof Error ? error.message : String(error), 'warning');
    return;
  }
  useDeviceRate();
  liveTap.value = { sampleRate: rate.peek(), read: recent };
  if (takeProblem.peek() !== null) prepare();
  const take = await prepared();
  if (!take) return;
  // only now is the take's length known, and with it the loop
  const loop = loopNow();
  host.play(take, { loop, from: resumeAt >= duration.peek() - 0.05 ? (loop?.from ?? 0) : resumeAt });
  playing.value = true;
}

/** Kernels and takes from now on at the rate of the sound device, once that is known. */
export function useDeviceRate(): void {
  if (host.sampleRate) rate.value = host.sampleRate;
}

export function seek(seconds: number): void {
  host.seek(seconds);
}

const buffer = new Float32Array(RECENT_SAMPLES);
const recent = (): Float32Array | null => (host.playing && host.recent(buffer) ? buffer : null);

/** The current take once it is ready at the device's rate; null: it cannot be had. */
function prepared(): Promise<typeof currentTake.value> {
  return new Promise(resolve => {
    const stop = effect(() => {
      if (preparing.value !== null) return;
      queueMicrotask(() => stop());
      resolve(takeProblem.value === null ? currentTake.peek() : null);
    });
  });
}

/** Keeps sound and sheet in step from now on. */
export function startSound(): void {
  // on its way before the first gesture; what fails is tried again, and missed aloud, by the first sound
  engineModule().catch(() => undefined);
  host.onState = state => {
    contextState.value = state;
  };
  host.onMeters = values => {
    meters.value = values;
  };
  host.onHeard = answer;
  host.onEnded = () => {
    playing.value = false;
  };
  host.onError = (message, rebuilt) => {
    silence();
    if (!rebuilt) {
      host.stop();
      playing.value = false;
    }
    notify(rebuilt ? words.rebuilt(message) : words.engineLost(message), 'warning');
  };
  host.onClosed = () => {
    silence();
    playing.value = false;
    notify(words.soundTaken, 'warning');
  };
  // what failed for want of a connection is tried again when there is one
  addEventListener('online', () => {
    if (takeProblem.peek() !== null) prepare();
  });
  // at once: pointer moves already come one a frame, and the ear should not wait for the drawing
  effect(() => {
    void [heard.value, view.value.point, rate.value, uncombed.value, heardGain.value, blindOverride.value];
    postKernels();
  });
  effect(() => {
    if (playing.value) beginToListen();
  });
  effect(() => host.setVolume(view.value.volume));
  effect(prepare);
  effect(() => host.setLoop(loopRegion.value));
}
