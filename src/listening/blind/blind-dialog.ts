/** Listening tests in a dialog of their own: set up, listen and answer, result. Everything goes by keys as well. */
import { html, nothing, type PropertyValues } from 'lit';
import { keepRun } from '../../../shared/document/edits/sheet.ts';
import type { Letter, Run } from '../../../shared/document/sheet.ts';
import { TRIALS } from '../../../shared/document/sheet.ts';
import { Dialog, dialogStyles } from '../../parts/dialog.ts';
import { shared } from '../../parts/styles.ts';
import { editSheet, slots, store, view } from '../../state/page.ts';
import { toggle, unheardText } from '../../state/sound.ts';
import { words } from '../../words/listening-words.ts';
import { drawBlindRun, isFinished, withAnswer } from './blind-run.ts';
import { setupView } from './blind-setup.ts';
import { type Heard, indexOf, missing, type Trial, trialView } from './blind-trial.ts';
import { listeningStyles } from './listening-styles.ts';
import { drawPreferenceRun, isComplete, withChoice } from './preference-run.ts';
import { resultView } from './results.ts';
import { recordOf } from './run-record.ts';
import { cryptoWord } from './shuffle.ts';
import { obstacle, openStage, type Stage } from './stage.ts';
import { copyTestLink } from './test-link.ts';
import { trialKey } from './trial-keys.ts';

const askBeforeUnload = (event: BeforeUnloadEvent): void => event.preventDefault();

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
  declare kind: Run['kind'];
  declare pair: readonly [Letter, Letter];
  declare trials: number;
  declare among: readonly Letter[];
  declare rounds: number;
  declare trial: Trial | null;
  declare result: Run | null;
  declare kept: boolean;
  /** Asks whether the test is to be given up, or the result may go unkept. */
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

  /** What was to happen when it was asked whether an unkept result may go. */
  #after: () => void = () => undefined;

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#end();
    removeEventListener('beforeunload', askBeforeUnload);
  }

  get #unkept(): boolean {
    return this.result !== null && !this.kept;
  }

  /** Leaving the page asks as well, by the browser's own words. */
  override updated(changed: PropertyValues<this>): void {
    super.updated(changed);
    if (this.trial || this.#unkept) addEventListener('beforeunload', askBeforeUnload);
    else removeEventListener('beforeunload', askBeforeUnload);
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
    if (!this.#unkept) this.result = null;
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
    stage.hear(indexOf(this.trial, 0));
  }

  #hear(what: Heard): void {
    const { trial } = this;
    if (!trial || (what === 'x' && trial.run.kind === 'preference')) return;
    trial.stage.hear(indexOf(trial, what));
    this.trial = { ...trial, hearing: what, known: new Set([...trial.known, what]) };
  }

  #choose(answer: 0 | 1): void {
    if (this.trial) this.trial = { ...this.trial, answer };
  }

  #answer = (): void => {
    const { trial } = this;
    if (!trial || trial.answer === null || missing(trial) || unheardText.peek() !== null) return;
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
    const named = stage.letters.map(letter => ({
      letter,
      name: slots.peek().find(slot => slot.letter === letter)?.build.name ?? '',
    }));
    const setting = { at: new Date().toISOString(), take: store.sheet.peek().take, point: view.peek().point };
    this.result = recordOf(run, named, setting);
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

  /** Does what takes the result out of sight; asks first where that would lose it. */
  #leave = (next: () => void): void => {
    this.#after = next;
    if (this.#unkept) this.#ask();
    else next();
  };

  #newRun = (): void => void (this.result = null);
  #stay = (): void => void (this.asking = false);
  #go = (keep: boolean): void => {
    if (keep) this.#keep();
    else this.result = null;
    this.asking = false;
    this.#after();
  };

  override close = (): void => this.#leave(() => this.dialog?.close());

  #ask(): void {
    this.asking = true;
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>('.ask button')?.focus());
  }

  #copyLink = async (): Promise<void> => {
    this.linked = await copyTestLink(this.pair, this.trials);
  };

  #cancel = (event: Event): void => {
    if (!this.trial && !this.#unkept) return;
    // Escape asks first: the answers so far, or the result, would be lost
    event.preventDefault();
    if (this.trial) this.#ask();
    else this.close();
  };

  #key = (event: KeyboardEvent): void => {
    // nothing on the page behind may react, above all not the keys of the builds
    if (event.key !== 'Escape' && event.key !== 'Tab') event.stopPropagation();
    if (!this.trial || this.asking || event.ctrlKey || event.metaKey || event.altKey) return;
    trialKey(event, {
      hear: what => this.#hear(what),
      choose: answer => this.#choose(answer),
      answer: this.#answer,
      playOrStop: () => void toggle(),
    });
  };

  #body() {
    const { trial, result } = this;
    if (trial)
      return trialView(trial, this.asking, {
        hear: what => this.#hear(what),
        choose: answer => this.#choose(answer),
        answer: this.#answer,
        abandon: this.#cancel,
        goOn: () => {
          this.asking = false;
          void this.#focusTrial();
        },
        end: () => this.#end(),
      });
    if (result)
      return resultView(result, this.kept, this.asking, {
        keep: this.#keep,
        again: () => this.#leave(this.#newRun),
        keepFirst: () => this.#go(true),
        letGo: () => this.#go(false),
        stay: this.#stay,
      });
    const { kind, pair, trials, among, rounds, starting, linked } = this;
    return setupView({
      ...{ kind, pair, trials, among, rounds, starting, linked },
      hindrance: this.#hindrance,
      choose: part => Object.assign(this, part),
      start: this.#start,
      copyLink: this.#copyLink,
    });
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
      ${this.#body()}
    </dialog>`;
  }
}
customElements.define('cc-listening', Listening);
declare global {
  interface HTMLElementTagNameMap {
    'cc-listening': Listening;
  }
}
