/** The audition dock: take, play, loop, builds by letter, test point, level match, volume and meter. */
import { html, nothing, svg } from 'lit';
import { TEST_POINTS, type TestPoint } from '../../shared/build/build.ts';
import { LETTERS, type Letter } from '../../shared/build/sheet.ts';
import { takes } from '../audio/takes.ts';
import { colourOf } from '../parts/builds.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { levels } from '../state/levels.ts';
import { slots, store, view } from '../state/page.ts';
import { duration, host, meters, playing, preparing, seek, takeProblem, toggle } from '../state/sound.ts';
import { currentTake } from '../state/take.ts';
import { words } from '../words/dock.ts';
import { dockStyles } from './dock-styles.ts';
import '../recordings/recordings.ts';
import { ownTakes } from '../state/recordings.ts';
import { words as recordingWords } from '../words/recordings.ts';
import './meter.ts';
import { envelope, outline } from './waveform.ts';

const WAVE = { width: 480, height: 64, columns: 240 };

export class Dock extends SignalElement {
  static override properties = { now: { state: true } };
  /** Position in the take, s. */
  declare now: number;
  #frame = 0;
  #drag: { from: number; pointer: number } | null = null;
  #shape: { channels: readonly Float32Array[] | null; path: string } = { channels: null, path: '' };

  static override styles = [shared, dockStyles];

  constructor() {
    super();
    this.now = 0;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('keydown', this.#key);
    const tick = () => {
      if (playing.peek()) this.now = host.position();
      this.#frame = requestAnimationFrame(tick);
    };
    tick();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('keydown', this.#key);
    cancelAnimationFrame(this.#frame);
  }

  /** Space plays, a build's letter switches: everywhere but where text is typed. */
  #key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    const target = event.composedPath()[0];
    if (
      target instanceof HTMLInputElement &&
      target.type !== 'checkbox' &&
      target.type !== 'radio' &&
      target.type !== 'range'
    )
      return;
    if (target instanceof HTMLSelectElement || target instanceof HTMLTextAreaElement) return;
    if (event.key === ' ') {
      // space keeps its meaning on whatever can be pressed
      if (target instanceof HTMLElement && target.closest('button, summary, input, [role=tab], [role=button]')) return;
      event.preventDefault();
      void toggle();
      return;
    }
    const letter = event.key.toUpperCase() as Letter;
    if (event.key.length === 1 && slots.peek().some(slot => slot.letter === letter)) {
      event.preventDefault();
      store.look({ heard: letter });
    }
  };

  #add(): void {
    const free = LETTERS.find(letter => !slots.peek().some(slot => slot.letter === letter));
    if (!free) return;
    const from = view.peek().heard;
    store.edit(words.addStep(free), sheet => {
      const build = sheet.builds.find(slot => slot.letter === from)!.build;
      const builds = [...sheet.builds, { letter: free, build: { ...build } }];
      builds.sort((a, b) => a.letter.localeCompare(b.letter));
      return { ...sheet, builds };
    });
    store.look({ heard: free });
  }

  #remove(): void {
    const letter = view.peek().heard;
    if (slots.peek().length < 2) return;
    const others = slots.peek().filter(slot => slot.letter !== letter);
    store.edit(words.removeStep(letter), sheet => ({
      ...sheet,
      builds: others,
      view: {
        ...sheet.view,
        heard: others[0].letter,
        reference: sheet.view.reference === letter ? others[0].letter : sheet.view.reference,
      },
    }));
  }

  #rename(event: Event): void {
    const name = (event.target as HTMLInputElement).value.trim();
    const letter = view.peek().heard;
    if (name)
      store.edit(words.renameStep(letter), sheet => ({
        ...sheet,
        builds: sheet.builds.map(slot => (slot.letter === letter ? { letter, build: { ...slot.build, name } } : slot)),
      }));
  }

  #secondsAt(event: PointerEvent): number {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    return Math.min(1, Math.max(0, (event.clientX - box.left) / box.width)) * duration.peek();
  }

  #down = (event: PointerEvent): void => {
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.#drag = { from: this.#secondsAt(event), pointer: event.pointerId };
  };

  #move = (event: PointerEvent): void => {
    if (this.#drag?.pointer !== event.pointerId) return;
    const to = this.#secondsAt(event);
    const [a, b] = [Math.min(this.#drag.from, to), Math.max(this.#drag.from, to)];
    if (b - a > 0.1) store.edit('set loop', sheet => ({ ...sheet, loop: { from: a, to: b } }), 'loop');
  };

  #up = (event: PointerEvent): void => {
    if (!this.#drag) return;
    const at = this.#secondsAt(event);
    if (Math.abs(at - this.#drag.from) <= 0.1) {
      this.now = at;
      seek(at);
    } else store.look({ looping: true });
    store.endGesture();
    this.#drag = null;
  };

  #waveKey = (event: KeyboardEvent): void => {
    const step = event.shiftKey ? 0.1 : 0.5;
    const to = { ArrowLeft: this.now - step, ArrowRight: this.now + step, Home: 0, End: duration.peek() - 0.2 }[
      event.key
    ];
    if (to === undefined) return;
    event.preventDefault();
    this.now = Math.max(0, Math.min(duration.peek(), to));
    seek(this.now);
  };

  #path(): string {
    const channels = currentTake.value?.channels ?? null;
    if (channels !== this.#shape.channels)
      this.#shape = {
        channels,
        path: channels ? outline(envelope(channels, WAVE.columns), WAVE.width, WAVE.height) : '',
      };
    return this.#shape.path;
  }

  #wave() {
    const all = duration.value || 1;
    const x = (s: number) => (s / all) * WAVE.width;
    const { looping } = view.value;
    const loop = store.sheet.value.loop;
    const name = [...takes, ...ownTakes.value].find(take => take.id === store.sheet.value.take)?.name ?? '';
    return html`<svg
      class="wave"
      viewBox="0 0 ${WAVE.width} ${WAVE.height}"
      preserveAspectRatio="none"
      role="slider"
      tabindex="0"
      aria-label=${words.waveform(name, duration.value)}
      aria-valuemin="0"
      aria-valuemax=${duration.value.toFixed(1)}
      aria-valuenow=${this.now.toFixed(1)}
      aria-valuetext=${words.time(this.now, duration.value)}
      @pointerdown=${this.#down}
      @pointermove=${this.#move}
      @pointerup=${this.#up}
      @pointercancel=${this.#up}
      @keydown=${this.#waveKey}
    >
      <path class="shape" d=${this.#path()} />
      ${
        loop && looping
          ? svg`<rect class="outside" x="0" y="0" width=${x(loop.from)} height=${WAVE.height} />
            <rect class="outside" x=${x(loop.to)} y="0" width=${Math.max(0, WAVE.width - x(loop.to))} height=${WAVE.height} />
            <rect class="loop" x=${x(loop.from)} y="1" width=${Math.max(1, x(loop.to) - x(loop.from))} height=${WAVE.height - 2} />`
          : nothing
      }
      <line class="head" x1=${x(this.now)} x2=${x(this.now)} y1="0" y2=${WAVE.height} />
    </svg>`;
  }

  #difference(letter: Letter): string {
    const { reference, levelMatch } = view.value;
    const [one, other] = [levels.value?.get(letter), levels.value?.get(reference)];
    const difference = (one?.loudness ?? Number.NaN) - (other?.loudness ?? Number.NaN);
    if (!one || !other || !Number.isFinite(difference)) return '';
    return words.matched(letter, reference, difference, one.exact && other.exact, levelMatch);
  }

  #meter() {
    const m = meters.value;
    return html`<cc-meter .peaks=${m ? m.outputs.map(output => output.peak) : []} .reduction=${m ? m.reduction : 0}></cc-meter>`;
  }

  override render() {
    const { heard, reference, point, levelMatch, looping, volume } = view.value;
    const sheet = store.sheet.value;
    const take = takes.find(one => one.id === sheet.take);
    const own = ownTakes.value.find(one => one.id === sheet.take);
    const busy = preparing.value;
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
      <div class="take">
        <label>
          <span class="reader">${words.take}</span>
          <select
            .value=${sheet.take}
            @change=${(event: Event) => {
              const id = (event.target as HTMLSelectElement).value;
              store.edit('choose take', s => ({ ...s, take: id, loop: null }));
              this.now = 0;
            }}
          >
            ${takes.map(one => html`<option value=${one.id} ?selected=${one.id === sheet.take}>${one.name}</option>`)}
            ${
              ownTakes.value.length
                ? html`<optgroup label=${recordingWords.group}>
                    ${ownTakes.value.map(one => html`<option value=${one.id} ?selected=${one.id === sheet.take}>${one.name}</option>`)}
                  </optgroup>`
                : nothing
            }
          </select>
        </label>
        <div id="take-tools"><cc-recordings></cc-recordings></div>
        <p class="small soft about" title=${take?.contains ?? ''}>
          ${
            takeProblem.value
              ? html`<span role="alert" class="problem">${words.failed(takeProblem.value)}</span>`
              : busy !== null
                ? words.preparing
                : take
                  ? `${take.kind === 'recorded' ? words.recorded : words.modelled}: ${take.contains}`
                  : own
                    ? recordingWords.throughLine(own.through.kind)
                    : ''
          }
        </p>
      </div>
      <div class="time">
        ${this.#wave()}
        <p class="small number under">
          <span>${words.time(this.now, duration.value)}</span>
          <label class="check">
            <input type="checkbox" .checked=${looping} @change=${() => store.look({ looping: !looping })} />${words.loop}
          </label>
          ${
            sheet.loop
              ? html`<span>${words.loopText(sheet.loop.from, sheet.loop.to)}</span>
                <button class="plain tight" @click=${() => store.edit('loop the whole take', s => ({ ...s, loop: null }))}>
                  ${words.wholeTake}
                </button>`
              : nothing
          }
        </p>
      </div>
      <div class="builds">
        <div class="letters" role="group" aria-label=${words.builds}>
          ${slots.value.map(
            ({ letter, build }) => html`<button
              class="letter"
              style="--build:${colourOf(letter)}"
              aria-pressed=${letter === heard}
              aria-label=${words.buildButton(letter, build.name)}
              title=${build.name}
              @click=${() => store.look({ heard: letter })}
            >
              ${letter}
            </button>`,
          )}
          ${
            slots.value.length < LETTERS.length
              ? html`<button class="plain tight" @click=${this.#add}>${words.add}</button>`
              : nothing
          }
          ${
            slots.value.length > 1
              ? html`<button class="plain tight" title=${words.removeTitle(heard)} @click=${this.#remove}>
                  ${words.remove}
                </button>`
              : nothing
          }
        </div>
        <p class="small under">
          <input
            class="name"
            aria-label=${words.rename(heard)}
            maxlength="60"
            .value=${slots.value.find(slot => slot.letter === heard)?.build.name ?? ''}
            @change=${this.#rename}
          />
        </p>
      </div>
      <div class="fair">
        <label class="check" title=${words.levelMatchTitle}>
          <input type="checkbox" .checked=${levelMatch} @change=${() => store.look({ levelMatch: !levelMatch })} />
          ${words.levelMatch}
        </label>
        <p class="small soft number">${this.#difference(heard)}</p>
        <label class="small soft">${words.reference}
          <select
            class="tight"
            .value=${reference}
            @change=${(event: Event) => store.look({ reference: (event.target as HTMLSelectElement).value as Letter })}
          >
            ${slots.value.map(({ letter }) => html`<option ?selected=${letter === reference}>${letter}</option>`)}
          </select>
        </label>
      </div>
      <div class="point">
        <label>
          <span class="small soft">${words.point}</span>
          <select
            .value=${String(point)}
            @change=${(event: Event) => store.look({ point: Number((event.target as HTMLSelectElement).value) as TestPoint })}
          >
            ${TEST_POINTS.map(p => html`<option value=${p} ?selected=${p === point}>${words.points[p]}</option>`)}
          </select>
        </label>
      </div>
      <div class="volume">
        <label>
          <span class="small soft">${words.volume} <output class="number">${words.volumeText(volume)}</output></span>
          <input
            type="range"
            min="-60"
            max="0"
            step="1"
            title=${words.quiet}
            .value=${String(volume)}
            aria-valuetext=${words.volumeText(volume)}
            @input=${(event: Event) => store.look({ volume: Number((event.target as HTMLInputElement).value) })}
          />
        </label>
        ${this.#meter()}
      </div>
    </section>`;
  }
}
customElements.define('cc-dock', Dock);
