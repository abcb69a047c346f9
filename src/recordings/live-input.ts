/** `<cc-live-input>`: an input device played through the build that is heard. */
import { html, nothing } from 'lit';
import { inputDevices } from '../audio/input.ts';
import { type LiveInput, type LiveStrings, startLive } from '../audio/live-sound.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { heard, view } from '../state/page.ts';
import { host, useDeviceRate } from '../state/sound.ts';
import { words } from '../words/recordings-words.ts';
import { formStyles } from './form-styles.ts';
import { deviceChoice, keptOn, levelMeter } from './inputs.ts';

export class LiveInputForm extends SignalElement {
  static override properties = {
    devices: { state: true },
    device: { state: true },
    live: { state: true },
    muted: { state: true },
    strings: { state: true },
    peak: { state: true },
    problem: { state: true },
    busy: { state: true },
  };
  declare devices: { id: string; name: string }[];
  declare device: string;
  declare live: LiveInput | null;
  declare muted: boolean;
  declare strings: LiveStrings;
  declare peak: number;
  declare problem: string;
  declare busy: boolean;
  #timer = 0;

  static override styles = [shared, formStyles];

  constructor() {
    super();
    this.devices = [];
    this.device = '';
    this.live = null;
    this.muted = true;
    this.strings = { kind: 'one', string: Math.min(view.peek().string, heard.peek().instrument.strings.length) };
    this.peak = -Infinity;
    this.problem = '';
    this.busy = false;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#list();
  }

  async #list(): Promise<void> {
    this.devices = await inputDevices().catch(() => []);
  }

  async #start(): Promise<void> {
    this.problem = '';
    this.busy = true;
    try {
      this.live = await startLive(host, this.device, this.strings);
      useDeviceRate();
      this.muted = true;
      this.#timer = window.setInterval(() => {
        this.peak = this.live?.peak() ?? -Infinity;
      }, 100);
      void this.#list();
    } catch (error) {
      this.problem = error instanceof Error ? error.message : String(error);
    } finally {
      this.busy = false;
    }
  }

  #stop(): void {
    clearInterval(this.#timer);
    this.live?.close();
    this.live = null;
    this.muted = true;
  }

  #latency(live: LiveInput) {
    const parts = live.latency(heard.value.instrument, this.strings);
    const total = (parts.input ?? 0) + parts.base + parts.output + parts.kernel + parts.limiter;
    const { latencyParts: names, milliseconds } = words;
    return html`<p class="small latency">${words.latency(total)}</p>
      <ul class="small">
        <li>${parts.input === null ? names.inputUnknown : `${names.input}: ${milliseconds(parts.input)}`}</li>
        ${(['base', 'output', 'kernel', 'limiter'] as const).map(key => html`<li>${names[key]}: ${milliseconds(parts[key])}</li>`)}
      </ul>`;
  }

  override render() {
    const { live } = this;
    const { strings } = heard.value.instrument;
    const channels = live?.input.channels ?? 1;
    const chosen = this.strings.kind === 'each' ? 'each' : String(this.strings.string);
    return html`<p class="small warn">${words.feedback}</p>
      <p class="small soft">${words.liveNote}</p>
      <div class="row">
        ${deviceChoice(this.devices, this.device, live !== null, id => {
          this.device = id;
        })}
        <label class="field">
          <span>${words.liveStrings}</span>
          <select
            @change=${(event: Event) => {
              const { value } = event.target as HTMLSelectElement;
              this.strings = value === 'each' ? { kind: 'each' } : { kind: 'one', string: Number(value) };
              this.live?.setStrings(this.strings);
            }}
          >
            ${strings.map(
              (string, i) =>
                html`<option value=${i + 1} ?selected=${chosen === String(i + 1)}>${words.oneString(i + 1, string.name)}</option>`,
            )}
            ${
              channels > 1
                ? html`<option value="each" ?selected=${chosen === 'each'}>
                    ${words.perString(Math.min(channels, strings.length))}
                  </option>`
                : nothing
            }
          </select>
        </label>
        <button class="live" ?disabled=${this.busy} @click=${() => (live ? this.#stop() : void this.#start())}>
          ${live ? words.liveStop : words.liveStart}
        </button>
        ${
          live
            ? html`<label class="check">
                <input
                  type="checkbox"
                  class="mute"
                  .checked=${this.muted}
                  @change=${(event: Event) => {
                    this.muted = (event.target as HTMLInputElement).checked;
                    live.setMuted(this.muted);
                  }}
                />${words.mute}
              </label>`
            : nothing
        }
      </div>
      ${
        live
          ? html`<p class="row"><span>${levelMeter(this.peak)}</span><span class="small soft">${words.channelsIn(channels)}</span></p>
            ${keptOn(live.input.processing)} ${this.#latency(live)}`
          : nothing
      }
      <p class="small problem" role="alert">${this.problem}</p>`;
  }
}
customElements.define('cc-live-input', LiveInputForm);
