/**
 * The stage of a listening test: builds at matched loudness, one of them heard. While it stands, the page's own choice of
 * build is not heard, and nothing on the page follows what is.
 */
import type { Build } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { levels, matchedGain } from '../../state/level-match.ts';
import { slots, store } from '../../state/page.ts';
import { blindOverride, host, playing, toggle } from '../../state/sound.ts';
import { currentTake } from '../../state/take.ts';
import { words } from '../../words/listening-words.ts';

export interface Stage {
  letters: readonly Letter[];
  /** Lets the build at this index be heard. */
  hear(index: number): void;
  close(): void;
}

const instrumentOf = (build: Build): string => JSON.stringify([build.instrument.strings, build.instrument.frets]);

/** Why these builds cannot be compared at this moment; null: they can. Reads signals. */
export function obstacle(letters: readonly Letter[]): string | null {
  const builds = slots.value.filter(slot => letters.includes(slot.letter));
  if (new Set(builds.map(slot => instrumentOf(slot.build))).size > 1) return words.unlikeStrings;
  if (!currentTake.value) return words.noTake;
  for (const letter of letters) {
    const level = levels.value?.get(letter);
    if (!level?.exact) return words.measuring;
    if (!Number.isFinite(level.loudness)) return words.silent(letter);
  }
  return null;
}

/** Sets builds side by side and starts the loop; call it inside the person's gesture. */
export async function openStage(letters: readonly Letter[]): Promise<Stage> {
  const sounds = letters.map(letter => ({
    build: slots.peek().find(slot => slot.letter === letter)!.build,
    gain: matchedGain(letter),
  }));
  // a new object every time: what is posted to the engine does not tell whether anything changed
  const hear = (index: number): void => {
    blindOverride.value = { ...sounds[index] };
  };
  hear(0);
  store.look({ looping: true });
  if (!playing.peek() || !host.playing) await toggle(host.position());
  return {
    letters,
    hear,
    close: () => {
      blindOverride.value = null;
    },
  };
}
