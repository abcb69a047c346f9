/** The listening dock: take, play, loop, builds by letter, test point, level match, volume and meter. */
import { html, nothing, svg } from 'lit';
import { TEST_POINTS, type TestPoint } from '../../shared/document/build.ts';
import { renameBuild } from '../../shared/document/edits/builds.ts';
import { chooseTake } from '../../shared/document/edits/sheet.ts';
import { LETTERS, type Letter, VOLUME } from '../../shared/document/sheet.ts';
import { misfit } from '../../shared/take/manifest.ts';
import { colourOf } from '../parts/builds.ts';
import { departsText } from '../parts/figure-text.ts';
import '../parts/menu.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { levels } from '../state/level-match.ts';
import { notify } from '../state/notices.ts';
import { editSheet, heard, opened, slots, store, view } from '../state/page.ts';
import {
  letterHeard,
  meters,
  playing,
  preparing,
  soundDeparts,
  takeProblem,
  toggle,
  unheardText,
} from '../state/sound.ts';
import { words } from '../words/dock-words.ts';
import { manifest, takes } from '../workers/shipped-takes.ts';
import { copyHeard } from './builds-panel.ts';
import { dockStyles } from './dock-styles.ts';
import '../recordings/recordings-dialog.ts';
import { ownTakes } from '../state/own-recordings.ts';
import { words as recordingWords } from '../words/recordings-words.ts';
import { words as takeWords } from '../words/take-words.ts';
import './meter.ts';
import './wave.ts';

export class Dock extends SignalElement {
  static override properties = { unfolded: { type: Boolean, reflect: true } };
  /** On a narrow page: the take's line of time is shown. */
  declare unfolded: boolean;

  static override styles = [shared, dockStyles];

  constructor() {
    super();
    this.unfolded = false;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    const test = opened.from === 'link' ? opened.sheet.test : null;
    if (test)
      notify(words.testOffered(test.builds, test.trials), 'note', {
        label: words.blindTest,
        run: () => void this.#openTests(),
      });
  }

  /** Opens the dialog of listening tests, which is fetched when it is first asked for. */
  #openTests = async (): Promise<void> => {
    await import('./blind/blind-dialog.ts');
    this.renderRoot.querySelector('cc-listening')?.show();
  };

  #rename(event: Event): void {
    const input = event.target as HTMLInputElement;
    const letter = view.peek().heard;
    editSheet(words.renameStep(letter), sheet => renameBuild(sheet, letter, input.value));
    input.value = heard.peek().name;
  }

  /** Focus on the dock is focus on Play. */
  override focus(): void {
    this.renderRoot.querySelector<HTMLElement>('.play')?.focus();
  }

  #difference(letter: Letter): string {
    const { reference, levelMatch } = view.value;
    const [one, other] = [levels.value?.get(letter), levels.value?.get(reference)];
    const difference = (one?.loudness ?? Number.NaN) - (other?.loudness ?? Number.NaN);
    if (!one || !other || !Number.isFinite(difference)) return '';
    return words.matched(letter, reference, difference, one.exact && other.exact, levelMatch);
  }

  #match(name: string) {
    const { levelMatch } = view.value;
    return html`<label class=${name} title=${words.levelMatchTitle}>
      <input type="checkbox" .checked=${levelMatch} @change=${() => store.look({ levelMatch: !levelMatch })} />
      ${words.levelMatch}
    </label>`;
  }

  #fair() {
    const { heard, reference } = view.value;
    return html`<div class="match">
        ${this.#match('check')}
        <label class="small soft">${words.reference}
          <select
            class="tight"
            aria-label=${words.referenceLabel}
            .value=${reference}
            @change=${(event: Event) => store.look({ reference: (event.target as HTMLSelectElement).value as Letter })}
          >
            ${slots.value.map(({ letter }) => html`<option ?selected=${letter === reference}>${letter}</option>`)}
          </select>
        </label>
      </div>
      <p class="small soft number" title=${words.exactTitle}>${this.#difference(heard)}</p>`;
  }

  #meter() {
    const m = meters.value;
    return html`<cc-meter .peaks=${m ? m.outputs.map(output => output.peak) : []} .reduction=${m ? m.reduction : 0}></cc-meter>`;
  }

  #takes() {
    const sheet = store.sheet.value;
    const take = takes.find(one => one.id === sheet.take);
    const own = ownTakes.value.find(one => one.id === sheet.take);
    const busy = preparing.value;
    return html`<div class="take">
      <label>
        <span class="reader">${words.take}</span>
        <select
          .value=${sheet.take}
          @change=${(event: Event) => {
            const id = (event.target as HTMLSelectElement).value;
            editSheet(words.takeStep, s => chooseTake(s, id));
          }}
        >
          ${takes.map(one => {
            const unfit = misfit(manifest, one, heard.value.instrument);
            return html`<option value=${one.id} ?selected=${one.id === sheet.take} title=${unfit ? takeWords.misfit(unfit) : ''}>${unfit ? words.unplayable(one.name) : one.name}</option>`;
          })}
          ${
            ownTakes.value.length
              ? html`<optgroup label=${recordingWords.group}>
                  ${ownTakes.value.map(one => html`<option value=${one.id} ?selected=${one.id === sheet.take}>${one.name}</option>`)}
                </optgroup>`
              : nothing
          }
        </select>
      </label>
      <div class="under">
        <div id="take-tools"><cc-recordings></cc-recordings></div>
        <button class="tight fold" aria-expanded=${this.unfolded ? 'true' : 'false'} @click=${() => {
          this.unfolded = !this.unfolded;
        }}>${words.fold}</button>
      <p class="small soft about" title=${take?.contains ?? ''}>
        ${
          takeProblem.value
            ? html`<span role="alert" class="problem">${words.failed(takeProblem.value)}</span>`
            : busy !== null
              ? words.preparing
              : soundDeparts.value
                ? html`<span role="status" class="problem">${departsText(view.value.heard, soundDeparts.value)}</span>`
                : take
                  ? `${take.kind === 'recorded' ? words.recorded : words.modelled}: ${take.contains}`
                  : own
                    ? recordingWords.throughLine(own.through.kind)
                    : ''
        }
      </p>
      </div>
    </div>`;
  }

  #builds(chosen: Letter) {
    const sounds = letterHeard.value;
    return html`<div class="builds">
      <p class="unheard small" role="status">${unheardText.value ?? ''}</p>
      <div class=${slots.value.length > 4 ? 'letters many' : 'letters'} role="group" aria-label=${words.builds}>
        ${slots.value.map(
          ({ letter, build }) => html`<button
            class=${letter === chosen && letter !== sounds ? 'letter asked' : 'letter'}
            style="--build:${colourOf(letter)}"
            aria-pressed=${letter === sounds}
            aria-label=${words.buildButton(letter, build.name)}
            title=${build.name}
            @click=${() => store.look({ heard: letter })}
          >
            ${letter}
          </button>`,
        )}
        ${
          slots.value.length < LETTERS.length
            ? html`<button class="plain tight" title=${words.copyTitle(chosen)} @click=${() => copyHeard(chosen)}>
                ${words.add}
              </button>`
            : nothing
        }
      </div>
      <div class="small under">
        ${this.#match('check fold')}
        <input
          class="name"
          title=${heard.value.name}
          aria-label=${words.rename(chosen)}
          maxlength="60"
          .value=${heard.value.name}
          @change=${this.#rename}
        />
        <cc-menu above tight text=${words.list} label=${words.listTitle}>
          <cc-builds-panel></cc-builds-panel>
          <div class="fair inside">${this.#fair()}</div>
        </cc-menu>
      </div>
    </div>`;
  }

  #volume(volume: number) {
    return html`<div class="volume">
      <label>
        <span class="small soft">${words.volume} <output class="number">${words.volumeText(volume)}</output></span>
        <input
          type="range"
          min=${VOLUME.least}
          max=${VOLUME.most}
          step="1"
          title=${words.quiet}
          .value=${String(volume)}
          aria-label=${words.volume}
          aria-valuetext=${words.volumeText(volume)}
          @input=${(event: Event) => store.look({ volume: Number((event.target as HTMLInputElement).value) })}
        />
      </label>
      ${this.#meter()}
    </div>`;
  }

  override render() {
    const { heard: chosen, point, volume } = view.value;
    return html`<section aria-label=${words.heading}>
      <button
        class="play"
        aria-label=${playing.value ? words.stop : words.play}
        title=${words.playKey}
        @click=${() => void toggle()}
      >
        <svg viewBox="0 0 24 24" aria-hidden="true">
          ${playing.value ? svg`<rect x="6" y="6" width="12" height="12" />` : svg`<path d="M8 5L19 12L8 19Z" />`}
        </svg>
      </button>
      ${this.#takes()}
      <cc-wave class="time"></cc-wave>
      ${this.#builds(chosen)}
      <div class="fair">${this.#fair()}</div>
      <div class="point">
        <label>
          <span class="reader">${words.point}</span>
          <select
            title=${words.point}
            .value=${String(point)}
            @change=${(event: Event) => store.look({ point: Number((event.target as HTMLSelectElement).value) as TestPoint })}
          >
            ${TEST_POINTS.map(p => html`<option value=${p} ?selected=${p === point}>${words.points[p]}</option>`)}
          </select>
        </label>
        <button class="tight blind" title=${words.blindTestTitle} @click=${this.#openTests}>${words.blindTest}</button>
        <cc-listening></cc-listening>
      </div>
      ${this.#volume(volume)}
    </section>`;
  }
}
customElements.define('cc-dock', Dock);
