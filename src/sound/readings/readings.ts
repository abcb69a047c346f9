/**
 * `<cc-readings>`: the large plot with its tabs, and the key figures under it. What is plotted follows from the sheet
 * (what-is-plotted.ts); scales and ranges are the panel's own (choices.ts).
 */
import { html, nothing } from 'lit';
import { READINGS } from '../../../shared/document/sheet.ts';
import { fileStem } from '../../files/file-names.ts';
import '../../parts/plot.ts';
import type { Plot } from '../../parts/plot.ts';
import { saveFile } from '../../parts/plot-export.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { notify } from '../../state/notices.ts';
import { heard, slots, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/readings-words.ts';
import { asFigures, impedanceAt } from './choices.ts';
import './key-figures-table.ts';
import { LiveSpectrum } from './live-spectrum.ts';
import { plotTools } from './plot-tools.ts';
import { readingsStyles } from './readings-styles.ts';
import { whatIsPlotted } from './what-is-plotted.ts';

const FILES = ['svg', 'png', 'csv'] as const;

/** What the reading speaks of: test point and string. */
function where(): string {
  const { reading, point, allStrings } = view.value;
  if (reading === 'spectrum') return words.atTake(point);
  if (reading === 'impedance') return '';
  const { name } = heard.value.instrument.strings[stringIndex.value];
  return reading === 'response' && allStrings ? words.atAllStrings(point) : words.at(point, name);
}

export class Readings extends SignalElement {
  static override styles = [shared, readingsStyles];

  #live = new LiveSpectrum(this);

  #key = (event: KeyboardEvent): void => {
    const now = READINGS.indexOf(view.value.reading);
    const to =
      event.key === 'ArrowRight'
        ? (now + 1) % READINGS.length
        : event.key === 'ArrowLeft'
          ? (now + READINGS.length - 1) % READINGS.length
          : event.key === 'Home'
            ? 0
            : event.key === 'End'
              ? READINGS.length - 1
              : -1;
    if (to < 0) return;
    event.preventDefault();
    store.look({ reading: READINGS[to] });
    void this.updateComplete.then(() =>
      (this.renderRoot.querySelector('[role="tab"][aria-selected="true"]') as HTMLElement | null)?.focus(),
    );
  };

  async #save(kind: 'svg' | 'png' | 'csv'): Promise<void> {
    const plot = this.renderRoot.querySelector('cc-plot') as Plot | null;
    if (!plot?.model) return;
    const { reading, point } = view.value;
    // an impedance is seen at a place of its own, not at a test point
    const where = reading === 'impedance' ? fileStem(impedanceAt.value ?? 'jack') : `tp${point}`;
    const name = `${reading}-${where}-${slots.value.map(slot => slot.letter).join('')}.${kind}`;
    try {
      if (kind === 'svg') saveFile({ name, content: await plot.toSvg(), type: 'image/svg+xml' });
      else if (kind === 'png') saveFile({ name, content: await plot.toPng() });
      else saveFile({ name, content: plot.toCsv(), type: 'text/csv' });
    } catch {
      notify(words.saveFailed, 'warning');
    }
  }

  #tabs() {
    const { reading } = view.value;
    return html`<div role="tablist" aria-label=${words.tabsLabel} @keydown=${this.#key}>
      ${READINGS.map(
        one =>
          html`<button
            role="tab"
            id=${`tab-${one}`}
            aria-selected=${one === reading ? 'true' : 'false'}
            aria-controls="plot"
            tabindex=${one === reading ? 0 : -1}
            @click=${() => store.look({ reading: one })}
          >${words.tabs[one]}</button>`,
      )}
    </div>`;
  }

  /** Buttons that take the plot away as figures or as a file. */
  #away(ready: boolean) {
    return html`<span class="away">
      <button class="plain" aria-pressed=${asFigures.value ? 'true' : 'false'} aria-label=${words.figuresHint}
        @click=${() => {
          asFigures.value = !asFigures.value;
        }}>${words.figures}</button>
      ${FILES.map(
        kind =>
          html`<button class="plain" ?disabled=${!ready} title=${words.saveHint[kind]} aria-label=${words.saveHint[kind]}
            @click=${() => this.#save(kind)}>${words.save[kind]}</button>`,
      )}
    </span>`;
  }

  override render() {
    const { model, note } = whatIsPlotted(this.#live.now);
    return html`<div class="panel sheet">
      <div class="head">
        ${this.#tabs()}
        <p class="where">${where()}</p>
      </div>
      <div id="plot" role="tabpanel" aria-labelledby=${`tab-${view.value.reading}`}>
        <div class="tools">${plotTools()} ${this.#away(model !== null)}</div>
        ${
          model
            ? html`<cc-plot .model=${model} .figures=${asFigures.value}></cc-plot>`
            : html`<div class="empty"><p>${note}</p></div>`
        }
        ${model && note ? html`<p class="note">${note}</p>` : nothing}
      </div>
      <cc-key-figures></cc-key-figures>
    </div>`;
  }
}
customElements.define('cc-readings', Readings);
declare global {
  interface HTMLElementTagNameMap {
    'cc-readings': Readings;
  }
}
