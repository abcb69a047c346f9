/** Listening tests in a dialog of their own: set up, listen and answer, result. Everything goes by keys as well. */
import { html, nothing } from 'lit';
import { keepRun, removeRun } from '../../../shared/document/edits/sheet.ts';
import type { Letter, Run } from '../../../shared/document/sheet.ts';
import { TRIALS, VOLUME } from '../../../shared/document/sheet.ts';
import { minimumCorrect } from '../../../shared/statistics/binomial.ts';
import { writeLink } from '../../files/link.ts';
import { colourOf } from '../../parts/builds.ts';
import { Dialog, dialogStyles } from '../../parts/dialog.ts';
import { shared } from '../../parts/styles.ts';
import { editSheet, slots, store, view } from '../../state/page.ts';
import { playing, toggle } from '../../state/sound.ts';
import { words } from '../../words/listening-words.ts';
import { type BlindRun, drawBlindRun, hiddenNow, isFinished, trialsOf, withAnswer } from './blind-run.ts';
import { listeningStyles } from './listening-styles.ts';
import { drawPreferenceRun, isComplete, type PreferenceRun, pairNow, withChoice } from './preference-run.ts';
import { resultTemplate, runLine } from './results.ts';
import { cryptoWord } from './shuffle.ts';
import { obstacle, openStage, type Stage } from './stage.ts';

type Kind = Run['kind'];
/** What can be heard in a trial: the first, the second, X. */
type Heard = 0 | 1 | 'x';
const KINDS: readonly Kind[] = ['blind', 'preference'];
const MOST_ROUNDS = 6;

interface Trial {
  stage: Stage;
  run: { kind: 'blind'; run: BlindRun } | { kind: 'preference'; run: PreferenceRun };
  hearing: Heard;
  /** What was heard in this trial so far. */
  known: ReadonlySet<Heard>;
  answer: 0 | 1 | null;
}

export class Listening extends Dialog {
  static override properties = {
    kind: { state: true },
    pair: { state: true },
    trials: { state: true },
    among: { state: true },
    rounds: { state: true },
    trial: { state: true },
    result: { state: true },
    kept: { state: true },
    asking: { state: true },
    linked: { state: true },
    starting: { state: true },
  };
  declare kind: Kind;
  declare pair: readonly [Letter, Letter];
  declare trials: number;
  declare among: readonly Letter[];
  declare rounds: number;
  declare trial: Trial | null;
  declare result: Run | null;
  declare kept: boolean;
  /** Asks whether the test is to be given up. */
  declare asking: boolean;
  /** What became of the link that was asked for. */
  declare linked: string;
  declare starting: boolean;

  static override styles = [shared, dialogStyles, listeningStyles];

  constructor() {
    super();
    this.kind = 'blind';
    this.pair = ['A', 'B'];
    this.trials = TRIALS.usual;
    this.among = [];
    this.rounds = 3;
    this.trial = null;
    this.result = null;
    this.kept = false;
    this.asking = false;
    this.linked = '';
    this.starting = false;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#end();
  }

  override show(): void {
    const letters = slots.peek().map(slot => slot.letter);
    const { test } = store.sheet.peek();
    const { heard, reference } = view.peek();
    const prepared = test?.builds.every(letter => letters.includes(letter)) ? test : null;
    const other = heard !== reference ? heard : (letters.find(letter => letter !== reference) ?? reference);
    this.pair = prepared?.builds ?? [reference, other];
    if (prepared) this.trials = prepared.trials;
    this.among = letters;
    this.result = null;
    this.linked = '';
    super.show();
  }

  get #letters(): readonly Letter[] {
    return this.kind === 'blind' ? this.pair : this.among;
  }

  /** Why the test cannot start; null: it can. */
  get #hindrance(): string | null {
    if (slots.value.length < 2) return words.needTwo;
    if (this.kind === 'blind' && this.pair[0] === this.pair[1]) return words.sameTwice;
    if (this.#letters.length < 2) return words.chooseTwo;
    return obstacle(this.#letters);
  }

  #start = async (): Promise<void> => {
    if (this.starting || this.#hindrance) return;
    this.starting = true;
    const letters = [...this.#letters];
    const { kind } = this;
    const run: Trial['run'] =
      kind === 'blind'
        ? { kind, run: drawBlindRun(this.trials, cryptoWord) }
        : { kind, run: drawPreferenceRun(letters.length, this.rounds, cryptoWord) };
    try {
      const stage = await openStage(letters);
      if (!this.dialog?.open) return stage.close();
      this.result = null;
      this.kept = false;
      this.#next(stage, run);
    } finally {
      this.starting = false;
    }
    await this.#focusTrial();
  };

  async #focusTrial(): Promise<void> {
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>('.trial')?.focus();
  }

  /** Opens the trial at hand of a run. */
  #next(stage: Stage, run: Trial['run']): void {
    this.trial = { stage, run, hearing: 0, known: new Set([0]), answer: null };
    stage.hear(this.#indexOf(this.trial, 0));
  }

  /** Which build of the stage is behind a button. */
  #indexOf({ run }: Trial, what: Heard): number {
    if (run.kind === 'preference') return pairNow(run.run)[what === 1 ? 1 : 0];
    return what === 'x' ? hiddenNow(run.run) : what;
  }

  #hear(what: Heard): void {
    const { trial } = this;
    if (!trial || (what === 'x' && trial.run.kind === 'preference')) return;
    trial.stage.hear(this.#indexOf(trial, what));
    this.trial = { ...trial, hearing: what, known: new Set([...trial.known, what]) };
  }

  #choose(answer: 0 | 1): void {
    if (this.trial) this.trial = { ...this.trial, answer };
  }

  /** What still has to be heard before an answer counts; null: nothing. */
  #missing({ run, known }: Trial): string | null {
    if (run.kind === 'blind') return known.has('x') ? null : words.firstHearX;
    return known.has(0) && known.has(1) ? null : words.firstHearBoth;
  }

  #answer = (): void => {
    const { trial } = this;
    if (!trial || trial.answer === null || this.#missing(trial)) return;
    const { stage, run } = trial;
    const next: Trial['run'] =
      run.kind === 'blind'
        ? { kind: run.kind, run: withAnswer(run.run, trial.answer) }
        : { kind: run.kind, run: withChoice(run.run, trial.answer) };
    const over = next.kind === 'blind' ? isFinished(next.run) : isComplete(next.run);
    if (over) this.#finish(stage, next);
    else {
      this.#next(stage, next);
      void this.#focusTrial();
    }
  };

  #finish(stage: Stage, run: Trial['run']): void {
    const named = (letter: Letter) => ({
      letter,
      name: slots.peek().find(slot => slot.letter === letter)?.build.name ?? '',
    });
    const common = { at: new Date().toISOString(), take: store.sheet.peek().take, point: view.peek().point };
    const { letters } = stage;
    this.result =
      run.kind === 'blind'
        ? {
            kind: 'blind',
            ...common,
            builds: [named(letters[0]), named(letters[1])],
            trials: trialsOf(run.run)!,
          }
        : { kind: 'preference', ...common, builds: letters.map(named), choices: [...run.run.choices] };
    this.#end();
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>('.outcome')?.focus());
  }

  /** The page's own sound is back. */
  #end(): void {
    this.trial?.stage.close();
    this.trial = null;
    this.asking = false;
  }

  #keep = (): void => {
    const { result } = this;
    if (!result || this.kept) return;
    editSheet(words.keepStep, sheet => keepRun(sheet, result));
    this.kept = true;
  };

  #copyLink = async (): Promise<void> => {
    const url = new URL(location.href);
    const [first, second] = this.pair;
    url.hash = writeLink({ ...store.sheet.peek(), runs: [], test: { builds: [first, second], trials: this.trials } });
    try {
      await navigator.clipboard.writeText(url.href);
      this.linked = words.linkCopied;
    } catch {
      this.linked = `${words.linkRefused} ${url.href}`;
    }
  };

  #cancel = (event: Event): void => {
    if (!this.trial) return;
    // Escape asks first: the answers so far would be lost
    event.preventDefault();
    this.asking = true;
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>('.ask button')?.focus());
  };

  #key = (event: KeyboardEvent): void => {
    // nothing on the page behind may react, above all not the keys of the builds
    if (event.key !== 'Escape' && event.key !== 'Tab') event.stopPropagation();
    if (!this.trial || this.asking || event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.composedPath()[0];
    if (target instanceof HTMLInputElement) return;
    const does: Record<string, () => void> = {
      '1': () => this.#hear(0),
      '2': () => this.#hear(1),
      x: () => this.#hear('x'),
      arrowleft: () => this.#choose(0),
      arrowright: () => this.#choose(1),
    };
    const pressed = target instanceof HTMLButtonElement;
    if (!pressed) {
      does.enter = this.#answer;
      does[' '] = () => void toggle();
    }
    const action = does[event.key.toLowerCase()];
    if (!action || (event.repeat && event.key === 'Enter')) return;
    event.preventDefault();
    action();
  };

  #setup() {
    const letters = slots.value.map(slot => slot.letter);
    const hindrance = this.#hindrance;
    return html`<div class="body">
      <fieldset class="kinds">
        <legend class="reader">${words.kindLabel}</legend>
        ${KINDS.map(
          kind => html`<label class="check">
            <input type="radio" name="kind" .checked=${kind === this.kind} @change=${() => {
              this.kind = kind;
            }} />${words.kinds[kind]}
          </label>`,
        )}
      </fieldset>
      <p>${words.about[this.kind]}</p>
      <p class="soft small">${words.fair}</p>
      ${this.kind === 'blind' ? this.#blindSetup(letters) : this.#preferenceSetup(letters)}
      <div class="row">
        <button class="main" ?disabled=${hindrance !== null || this.starting} @click=${this.#start}>${words.start}</button>
        <p role="status" class="small">${hindrance ?? ''}</p>
      </div>
      ${this.#keptRuns()}
    </div>`;
  }

  #blindSetup(letters: readonly Letter[]) {
    const select = (place: 0 | 1, label: string) =>
      html`<label><span class="small soft">${label}</span>
        <select
          @change=${(event: Event) => {
            const letter = (event.target as HTMLSelectElement).value as Letter;
            this.pair = place === 0 ? [letter, this.pair[1]] : [this.pair[0], letter];
          }}
        >
          ${slots.value.map(
            ({ letter, build }) =>
              html`<option value=${letter} ?selected=${letter === this.pair[place]}>${letter} ${build.name}</option>`,
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
            .value=${String(this.trials)}
            @change=${(event: Event) => {
              const input = event.target as HTMLInputElement;
              const wanted = Math.round(Number(input.value));
              if (Number.isFinite(wanted) && input.value !== '')
                this.trials = Math.min(TRIALS.most, Math.max(TRIALS.least, wanted));
              input.value = String(this.trials);
            }}
          />
        </label>
        <p id="trials" class="small soft">
          ${words.trialsHint(TRIALS.least, TRIALS.most)}.<br />${words.needed(minimumCorrect(this.trials), this.trials)}
        </p>
      </div>
      ${
        letters.length > 1
          ? html`<div class="row">
              <button ?disabled=${this.pair[0] === this.pair[1]} @click=${this.#copyLink}>${words.copyLink}</button>
              <p role="status" class="small link">${this.linked}</p>
            </div>`
          : nothing
      }
    `;
  }

  #preferenceSetup(letters: readonly Letter[]) {
    const among = letters.filter(letter => this.among.includes(letter));
    const choices = ((among.length * (among.length - 1)) / 2) * this.rounds;
    return html`<div class="row">
      <fieldset>
        <legend>${words.which}</legend>
        ${slots.value.map(
          ({ letter, build }) => html`<label class="check" title=${build.name}>
            <input type="checkbox" .checked=${among.includes(letter)} @change=${() => {
              this.among = letters.filter(one => (one === letter ? !among.includes(one) : among.includes(one)));
            }} /><b style="color:${colourOf(letter)}">${letter}</b> <span class="who">${build.name}</span>
          </label>`,
        )}
      </fieldset>
      <label><span class="small soft">${words.rounds}</span>
        <select @change=${(event: Event) => {
          this.rounds = Number((event.target as HTMLSelectElement).value);
        }}>
          ${Array.from({ length: MOST_ROUNDS }, (_, i) => i + 1).map(
            n => html`<option ?selected=${n === this.rounds}>${n}</option>`,
          )}
        </select>
      </label>
      <p class="small soft">${words.choicesAhead(choices)}</p>
    </div>`;
  }

  #keptRuns() {
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

  #trialView(trial: Trial) {
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
      @click=${() => this.#hear(what)}
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
    ) => html`<button aria-pressed=${trial.answer === place} @click=${() => this.#choose(place)}>
      ${blind ? words.xIs(place, letters[place]) : words.prefer(place)}
    </button>`;
    const missing = this.#missing(trial);
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
        <button class="main" ?disabled=${trial.answer === null || missing !== null} @click=${this.#answer}>${words.answer}</button>
        <p class="small soft">${missing ?? ''}</p>
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
        <button class="plain" @click=${this.#cancel}>${words.abandon}</button>
      </div>
      ${
        this.asking
          ? html`<div class="ask" role="alertdialog" aria-label=${words.abandonAsk}>
              <p>${words.abandonAsk}</p>
              <button @click=${() => {
                this.asking = false;
                void this.#focusTrial();
              }}>${words.abandonNo}</button>
              <button @click=${() => this.#end()}>${words.abandonYes}</button>
            </div>`
          : nothing
      }
    </div>`;
  }

  #outcome(result: Run) {
    return html`<div class="body outcome" tabindex="-1" role="group" aria-label=${words.result}>
      ${resultTemplate(result)}
      <div class="row">
        <button class="main" ?disabled=${this.kept} @click=${this.#keep}>${words.keep}</button>
        <button @click=${() => {
          this.result = null;
        }}>${words.again}</button>
        <p class="small" role="status">${this.kept ? words.kept : ''}</p>
      </div>
    </div>`;
  }

  override render() {
    return html`<dialog
      class=${this.trial ? 'blind' : ''}
      aria-label=${words.heading}
      @cancel=${this.#cancel}
      @close=${() => this.#end()}
      @keydown=${this.#key}
    >
      <div class="head">
        <h2>${words.heading}</h2>
        ${this.trial ? nothing : html`<button @click=${this.close}>${words.close}</button>`}
      </div>
      ${this.trial ? this.#trialView(this.trial) : this.result ? this.#outcome(this.result) : this.#setup()}
    </dialog>`;
  }
}
customElements.define('cc-listening', Listening);
declare global {
  interface HTMLElementTagNameMap {
    'cc-listening': Listening;
  }
}
