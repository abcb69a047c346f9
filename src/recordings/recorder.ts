/** `<cc-recorder>`: records a take from an input device. */
import { html, LitElement, nothing } from 'lit';
import { inputDevices } from '../audio/input.ts';
import { LONGEST_TAKE, type RecordingMeter } from '../audio/record.ts';
import { shared } from '../parts/styles.ts';
import { type RunningTake, recordTake } from '../state/recorded-take.ts';
import { words } from '../words/recordings-words.ts';
import { formStyles } from './form-styles.ts';
import { deviceChoice, keptOn, levelMeter } from './inputs.ts';

export class Recorder extends LitElement {
  static override properties = {
    devices: { state: true },
    device: { state: true },
    running: { state: true },
    meter: { state: true },
    problem: { state: true },
    busy: { state: true },
  };
  declare devices: { id: string; name: string }[];
  declare device: string;
  declare running: RunningTake | null;
  declare meter: RecordingMeter | null;
  declare problem: string;
  declare busy: boolean;

  static override styles = [shared, formStyles];

  constructor() {
    super();
    this.devices = [];
    this.device = '';
    this.running = null;
    this.meter = null;
    this.problem = '';
    this.busy = false;
  }

  override connectedCallback(): void {
    super.connectedCallback();
    void this.#list();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    // what was played is kept, even when the dialog is closed over it
    if (this.running) void this.#stop();
  }

  async #list(): Promise<void> {
    this.devices = await inputDevices().catch(() => []);
  }

  async #start(): Promise<void> {
    this.problem = '';
    this.meter = null;
    this.busy = true;
    try {
      this.running = await recordTake(
        this.device,
        meter => {
          this.meter = meter;
          if (meter.length >= LONGEST_TAKE) void this.#stop();
        },
        () => void this.#stop(),
      );
      void this.#list();
    } catch (error) {
      this.problem = error instanceof Error ? error.message : String(error);
    } finally {
      this.busy = false;
    }
  }

  async #stop(): Promise<void> {
    const { running } = this;
    if (!running) return;
    this.running = null;
    if (!(await running.stop())) this.problem = words.nothingRecorded;
  }

  override render() {
    const { running, meter } = this;
    return html`<p class="small soft">${words.recordHint}</p>
      <div class="row">
        ${deviceChoice(this.devices, this.device, running !== null, id => {
          this.device = id;
        })}
        <button class="record" ?disabled=${this.busy} @click=${() => void (running ? this.#stop() : this.#start())}>
          ${running ? words.stopRecording : words.startRecording}
        </button>
        ${running ? html`<span class="small soft">${words.channelsIn(running.input.channels)}</span>` : nothing}
      </div>
      ${
        running && meter
          ? html`<p class="row">
              <span class="number length">${words.recording(meter.length)}</span>
              <span>${levelMeter(meter.peak)}</span>
              <span class="small ${meter.clipped ? 'problem' : ''}">${words.clipped(meter.clipped)}</span>
            </p>`
          : nothing
      }
      ${running ? keptOn(running.input.processing) : nothing}
      <p class="small problem" role="alert">${this.problem}</p>`;
  }
}
customElements.define('cc-recorder', Recorder);
