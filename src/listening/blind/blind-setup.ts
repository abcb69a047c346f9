/** Setting up a listening test: which kind, which builds, how many trials; and the kept results. */
import { html, nothing } from 'lit';
import { removeRun } from '../../../shared/document/edits/sheet.ts';
import type { Letter, Run } from '../../../shared/document/sheet.ts';
import { TRIALS } from '../../../shared/document/sheet.ts';
import { minimumCorrect } from '../../../shared/statistics/binomial.ts';
import { colourOf } from '../../parts/builds.ts';
import { editSheet, slots, store } from '../../state/page.ts';
import { words } from '../../words/listening-words.ts';
import { resultTemplate, runLine } from './results.ts';

type Kind = Run['kind'];
const KINDS: readonly Kind[] = ['blind', 'preference'];
const MOST_ROUNDS = 6;

/** What is chosen before a test. */
export interface Setup {
  kind: Kind;
  /** The two builds of a blind test, */
  pair: readonly [Letter, Letter];
  trials: number;
  /** and those of a preference test. */
  among: readonly Letter[];
  rounds: number;
}

export interface SetupView extends Setup {
  /** Why the test cannot start; null: it can. */
  hindrance: string | null;
  starting: boolean;
  /** What became of the link that was asked for. */
  linked: string;
  choose(part: Partial<Setup>): void;
  start(): void;
  copyLink(): void;
}

export function setupView(view: SetupView) {
  const letters = slots.value.map(slot => slot.letter);
  const { kind: chosen, hindrance, starting, start, choose } = view;
  return html`<div class="body">
    <fieldset class="kinds">
      <legend class="reader">${words.kindLabel}</legend>
      ${KINDS.map(
        kind => html`<label class="check">
          <input type="radio" name="kind" .checked=${kind === chosen} @change=${() => choose({ kind })} />${words.kinds[kind]}
        </label>`,
      )}
    </fieldset>
    <p>${words.about[chosen]}</p>
    <p class="soft small">${words.fair}</p>
    ${chosen === 'blind' ? blindSetup(view, letters) : preferenceSetup(view, letters)}
    <div class="row">
      <button class="main" ?disabled=${hindrance !== null || starting} @click=${start}>${words.start}</button>
      <p role="status" class="small">${hindrance ?? ''}</p>
    </div>
    ${keptRuns()}
  </div>`;
}

function blindSetup({ pair, trials, linked, choose, copyLink }: SetupView, letters: readonly Letter[]) {
  const select = (place: 0 | 1, label: string) =>
    html`<label><span class="small soft">${label}</span>
      <select
        @change=${(event: Event) => {
          const letter = (event.target as HTMLSelectElement).value as Letter;
          choose({ pair: place === 0 ? [letter, pair[1]] : [pair[0], letter] });
        }}
      >
        ${slots.value.map(
          ({ letter, build }) =>
            html`<option value=${letter} ?selected=${letter === pair[place]}>${letter} ${build.name}</option>`,
        )}
      </select>
    </label>`;
  return html`
    <div class="row">
      ${select(0, words.first)} ${select(1, words.second)}
      <label><span class="small soft">${words.trials}</span>
        <input
          type="number"
          min=${TRIALS.least}
          max=${TRIALS.most}
          step="1"
          aria-describedby="trials"
          .value=${String(trials)}
          @change=${(event: Event) => {
            const input = event.target as HTMLInputElement;
            const wanted = Math.round(Number(input.value));
            const good = Number.isFinite(wanted) && input.value !== '';
            const next = good ? Math.min(TRIALS.most, Math.max(TRIALS.least, wanted)) : trials;
            choose({ trials: next });
            input.value = String(next);
          }}
        />
      </label>
      <p id="trials" class="small soft">
        ${words.trialsHint(TRIALS.least, TRIALS.most)}.<br />${words.needed(minimumCorrect(trials), trials)}
      </p>
    </div>
    ${
      letters.length > 1
        ? html`<div class="row">
            <button ?disabled=${pair[0] === pair[1]} @click=${copyLink}>${words.copyLink}</button>
            <p role="status" class="small link">${linked}</p>
          </div>`
        : nothing
    }
  `;
}

function preferenceSetup({ among: wanted, rounds, choose }: SetupView, letters: readonly Letter[]) {
  const among = letters.filter(letter => wanted.includes(letter));
  const choices = ((among.length * (among.length - 1)) / 2) * rounds;
  return html`<div class="row">
    <fieldset>
      <legend>${words.which}</legend>
      ${slots.value.map(
        ({ letter, build }) => html`<label class="check" title=${build.name}>
          <input type="checkbox" .checked=${among.includes(letter)} @change=${() => {
            choose({ among: letters.filter(one => (one === letter) !== among.includes(one)) });
          }} /><b style="color:${colourOf(letter)}">${letter}</b> <span class="who">${build.name}</span>
        </label>`,
      )}
    </fieldset>
    <label><span class="small soft">${words.rounds}</span>
      <select @change=${(event: Event) => {
        choose({ rounds: Number((event.target as HTMLSelectElement).value) });
      }}>
        ${Array.from({ length: MOST_ROUNDS }, (_, i) => i + 1).map(
          n => html`<option ?selected=${n === rounds}>${n}</option>`,
        )}
      </select>
    </label>
    <p class="small soft">${words.choicesAhead(choices)}</p>
  </div>`;
}

function keptRuns() {
  const runs = store.sheet.value.runs ?? [];
  if (runs.length === 0) return nothing;
  return html`<details>
    <summary>${words.runs(runs.length)}</summary>
    <ol>
      ${runs.map(
        (run, i) => html`<li>
          <details><summary>${runLine(run)}</summary>${resultTemplate(run)}</details>
          <button class="plain" aria-label=${words.removeRun(i + 1)} @click=${() =>
            editSheet(words.removeStep, sheet => removeRun(sheet, run))}>
            ${words.remove}
          </button>
        </li>`,
      )}
    </ol>
  </details>`;
}
