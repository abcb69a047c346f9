/** One trial of a listening test: what can be heard in it, what is missing for an answer, and how it looks. */
import { html, nothing } from 'lit';
import { VOLUME } from '../../../shared/document/sheet.ts';
import { colourOf } from '../../parts/builds.ts';
import { slots, store, view } from '../../state/page.ts';
import { playing, toggle, unheardText } from '../../state/sound.ts';
import { words } from '../../words/listening-words.ts';
import { asked } from './asked.ts';
import { type BlindRun, hiddenNow } from './blind-run.ts';
import { type PreferenceRun, pairNow } from './preference-run.ts';
import type { Stage } from './stage.ts';

/** What can be heard in a trial: the first, the second, X. */
export type Heard = 0 | 1 | 'x';

export interface Trial {
  stage: Stage;
  run: { kind: 'blind'; run: BlindRun } | { kind: 'preference'; run: PreferenceRun };
  hearing: Heard;
  /** What was heard in this trial so far. */
  known: ReadonlySet<Heard>;
  answer: 0 | 1 | null;
}

/** Which build of the stage is behind a button. */
export function indexOf({ run }: Trial, what: Heard): number {
  if (run.kind === 'preference') return pairNow(run.run)[what === 1 ? 1 : 0];
  return what === 'x' ? hiddenNow(run.run) : what;
}

/** What still has to be heard before an answer counts; null: nothing. */
export function missing({ run, known }: Trial): string | null {
  if (run.kind === 'blind') return known.has('x') ? null : words.firstHearX;
  return known.has(0) && known.has(1) ? null : words.firstHearBoth;
}

export interface TrialActions {
  hear(what: Heard): void;
  choose(answer: 0 | 1): void;
  answer(): void;
  /** Asks whether the test is to be given up; */
  abandon(event: Event): void;
  /** no; */
  goOn(): void;
  /** yes. */
  end(): void;
}

export function trialView(trial: Trial, asking: boolean, does: TrialActions) {
  const blind = trial.run.kind === 'blind';
  const [done, all] =
    trial.run.kind === 'blind'
      ? [trial.run.run.answers.length, trial.run.run.hidden.length]
      : [trial.run.run.choices.length, trial.run.run.pairs.length];
  const { letters } = trial.stage;
  const name = (what: Heard) => (what === 'x' ? words.hearX : words.hearPlace(what));
  const hear = (what: Heard) => html`<button
    class="hear"
    aria-pressed=${trial.hearing === what}
    style=${blind && what !== 'x' ? `--build:${colourOf(letters[what])}` : ''}
    @click=${() => does.hear(what)}
  >
    <span class="big">${name(what)}</span>
    ${
      blind && what !== 'x'
        ? html`<span class="small who">${letters[what]} ${slots.value.find(slot => slot.letter === letters[what])?.build.name}</span>`
        : nothing
    }
  </button>`;
  const answer = (
    place: 0 | 1,
  ) => html`<button aria-pressed=${trial.answer === place} @click=${() => does.choose(place)}>
    ${blind ? words.xIs(place, letters[place]) : words.prefer(place)}
  </button>`;
  // an answer to what does not sound would count for nothing
  const first = unheardText.value ?? missing(trial);
  const { volume } = view.value;
  return html`<div class="body trial" tabindex="-1" aria-label=${blind ? words.kinds.blind : words.kinds.preference} role="group">
    <p class="count" role="status">
      ${blind ? words.trial(done + 1, all) : words.choice(done + 1, all)}<span class="reader">, ${words.hearing(name(trial.hearing))}</span>
    </p>
    <progress max=${all} value=${done} aria-hidden="true"></progress>
    <div class="hears" role="group" aria-label=${words.hear}>
      ${hear(0)} ${blind ? hear('x') : nothing} ${hear(1)}
    </div>
    <div class="answers">${answer(0)} ${answer(1)}</div>
    <div class="row">
      <button class="main" ?disabled=${trial.answer === null || first !== null} @click=${does.answer}>${words.answer}</button>
      <p class="small soft" role="status">${first ?? ''}</p>
    </div>
    <p class="small soft keys">${blind ? words.keysBlind : words.keysPreference}</p>
    <div class="row sound">
      <button @click=${() => void toggle()}>${playing.value ? words.stop : words.play}</button>
      <label class="small">${words.volume}
        <input
          type="range" min=${VOLUME.least} max=${VOLUME.most} step="1" .value=${String(volume)} aria-valuetext=${words.volumeText(volume)}
          @input=${(event: Event) => store.look({ volume: Number((event.target as HTMLInputElement).value) })}
        />
      </label>
      <button class="plain" @click=${does.abandon}>${words.abandon}</button>
    </div>
    ${asking ? asked(words.abandonAsk, [words.abandonNo, does.goOn], [words.abandonYes, does.end]) : nothing}
  </div>`;
}
