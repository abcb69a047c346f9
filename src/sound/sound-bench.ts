/** `<cc-sound>`, the bench Sound: the plan, the signal path, the readings beside the fields of the opened station. */
import { css, html, LitElement } from 'lit';
import { shared } from '../parts/styles.ts';
import { words } from '../words/page-words.ts';
import './plan/plan.ts';
import './path/path.ts';
import './path/station.ts';
import './readings/readings.ts';

export class SoundBench extends LitElement {
  static override styles = [
    shared,
    css`
      :host { display: grid; gap: 0.55rem; grid-template-columns: minmax(0, 1fr); align-content: start; }
      .desk { display: grid; grid-template-columns: minmax(0, 1.72fr) minmax(0, 1fr); gap: 1rem; align-items: start; }
      .desk > section { position: sticky; top: 0.5rem; }
      @media (max-width: 1100px) {
        .desk { grid-template-columns: minmax(0, 1fr); }
        .desk > section { position: static; }
      }
    `,
  ];

  override render() {
    return html`
      <section aria-label=${words.bands.plan}><cc-plan></cc-plan></section>
      <section aria-label=${words.bands.path}><cc-path></cc-path></section>
      <div class="desk">
        <section aria-label=${words.bands.readings}><cc-readings></cc-readings></section>
        <cc-station></cc-station>
      </div>
    `;
  }
}
customElements.define('cc-sound', SoundBench);
