/**
 * `<cc-sound>`, the bench Sound: the plan, the signal path, the readings beside the fields of the opened station. On a low
 * screen it is compact: plan, plot and the fields that are being changed fit together, the fields scroll by themselves.
 */
import { css, html } from 'lit';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { view } from '../state/page.ts';
import { words } from '../words/page-words.ts';
import './plan/plan.ts';
import './path/path.ts';
import './path/station.ts';
import './readings/readings.ts';

/** A window lower than this is low, rem; one narrower than this has one column and is scrolled instead. */
const LOW = 58;
const NARROW = 56;

export class SoundBench extends SignalElement {
  static override properties = { compact: { type: Boolean, reflect: true } };
  declare compact: boolean;

  static override styles = [
    shared,
    css`
      :host { display: grid; gap: 0.55rem; grid-template-columns: minmax(0, 1fr); align-content: start; }
      .desk { display: grid; grid-template-columns: minmax(0, 1.72fr) minmax(0, 1fr); gap: 1rem; align-items: start; }
      .desk > section { position: sticky; top: 0.5rem; }
      @media (max-width: 1100px) {
        :host(:not([compact])) .desk { grid-template-columns: minmax(0, 1fr); }
        :host(:not([compact])) .desk > section { position: static; }
      }
      @media screen {
        :host([compact]) {
          gap: 0.35rem; grid-template-rows: auto auto minmax(12rem, 1fr);
          height: calc(100vh - var(--header-height) - var(--dock-height) - 0.8rem);
        }
        :host([compact]) .desk { gap: 0.7rem; min-height: 0; grid-template-rows: minmax(0, 1fr); }
        :host([compact]) .desk > section { container-type: size; }
        :host([compact]) .desk > * { position: static; height: 100%; overflow: auto; scrollbar-width: thin; }
      }
    `,
  ];

  constructor() {
    super();
    this.compact = false;
  }

  #measure = (): void => {
    const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
    this.compact = innerHeight < LOW * rem && innerWidth >= NARROW * rem;
  };

  override connectedCallback(): void {
    super.connectedCallback();
    addEventListener('resize', this.#measure);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    removeEventListener('resize', this.#measure);
  }

  override willUpdate(): void {
    this.#measure();
  }

  override render() {
    // the size of the sheet changes what a rem is
    void view.value.size;
    const { compact } = this;
    return html`
      <section aria-label=${words.bands.plan}><cc-plan ?compact=${compact}></cc-plan></section>
      <section aria-label=${words.bands.path}><cc-path ?compact=${compact}></cc-path></section>
      <div class="desk">
        <section aria-label=${words.bands.readings}><cc-readings ?compact=${compact}></cc-readings></section>
        <cc-station></cc-station>
      </div>
    `;
  }
}
customElements.define('cc-sound', SoundBench);
