/**
 * `<cc-path>`: the stations from string to input in a row, each with a small curve at its test point and its key
 * figures, and the numbered test points between them. A station opens its fields, a test point is heard and plotted.
 */
import { css, html, nothing, type TemplateResult } from 'lit';
import { TEST_POINTS, type TestPoint } from '../../../shared/document/build.ts';
import { type Letter, STATIONS, type Station } from '../../../shared/document/sheet.ts';
import { partial, stringModel } from '../../../shared/string/stiff.ts';
import { colourOf } from '../../parts/builds.ts';
import { miniCurves, miniPartials } from '../../parts/mini-curve.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { atRest } from '../../state/at-rest.ts';
import { heard, PLOT_GRID, plotted, slots, store, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { FIGURE_WORD, stationFigures } from './station-figures.ts';

export class SignalPath extends SignalElement {
  static override styles = [
    shared,
    css`
      :host { container-type: inline-size; }
      .row { display: grid; grid-template-columns: auto minmax(0, 1fr); gap: 0 1rem; align-items: start; }
      h2 { padding-top: 0.35rem; }
      .stations { display: flex; align-items: stretch; list-style: none; margin: 0; padding: 3px; min-width: 0; }
      li { display: contents; }
      .station {
        flex: 1 1 0; min-width: 9.5rem; text-align: left; background: var(--panel); padding: 0.45rem 0.75rem 0.5rem;
        display: grid; grid-template-rows: auto 2.6rem auto; gap: 0.3rem; align-content: start;
        overflow: hidden;
      }
      .station[aria-pressed='true'] { border-color: var(--ink); box-shadow: inset 0 0 0 1px var(--ink); }
      .title { font: 600 1.05rem var(--narrow); }
      svg.curve { width: 100%; height: 2.6rem; display: block; overflow: visible; }
      .figures { font: 0.92rem var(--narrow); line-height: 1.25; font-variant-numeric: tabular-nums; min-width: 0; }
      .figures > span { display: block; text-wrap: pretty; }
      .figures > span > span { white-space: nowrap; }
      .figures .second { color: var(--soft); }
      .point { flex: none; width: 1.9rem; position: relative; display: grid; place-content: center; }
      .point::before {
        content: ''; position: absolute; left: 0; right: 0.3rem; top: calc(50% + 0.6rem); border-top: 1.5px solid var(--ink);
      }
      .point::after {
        content: ''; position: absolute; right: 0; top: calc(50% + 0.6rem - 3.5px); border: 4px solid transparent;
        border-left: 7px solid var(--ink); border-right: 0;
      }
      .point.last::after { display: none; }
      .point.last::before { right: 50%; }
      .point button {
        position: relative; z-index: 1; width: 1.5rem; height: 1.5rem; min-height: 0; min-width: 0; padding: 0; border-radius: 50%;
        border: 1.5px solid var(--ink); background: var(--panel); font: 600 0.85rem var(--ui); line-height: 1;
        transform: translateY(-0.85rem);
      }
      .point button::after { content: ''; position: absolute; left: 50%; top: 100%; height: 0.6rem; border-left: 1.5px solid var(--ink); }
      .point button[aria-pressed='true'] { background: var(--ink); color: var(--paper); box-shadow: none; }
      @media screen {
        :host([compact]) .row { grid-template-columns: auto minmax(0, 1fr); align-items: center; }
        :host([compact]) h2 { padding: 0; }
        :host([compact]) .station { min-width: 0; grid-template-rows: auto; padding: 0.15rem 0.6rem; }
        :host([compact]) .title { white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }
        :host([compact]) .curve, :host([compact]) .figures .second { display: none; }
        :host([compact]) .station { gap: 0; padding-block: 0; }
        :host([compact]) .title { font-size: 0.95rem; line-height: 1.1; }
        :host([compact]) .figures { font-size: 0.8rem; line-height: 1.1; }
        :host([compact]) .point button { transform: none; }
        :host([compact]) .point button::after { display: none; }
        :host([compact]) .point::before, :host([compact]) .point::after { margin-top: -0.6rem; }
      }
      @media (pointer: coarse) {
        .point { width: 3.2rem; }
        .point button { width: 44px; height: 44px; }
        .point button::after { height: 0.2rem; }
      }
      @container (max-width: 78rem) {
        .row { grid-template-columns: minmax(0, 1fr); }
      }
      @container (max-width: 62rem) {
        .stations { position: relative; overflow-x: auto; scroll-snap-type: x proximity; scrollbar-width: thin; padding-bottom: 0.4rem; }
        .station { scroll-snap-align: center; flex: 1 0 10.5rem; }
      }
    `,
  ];

  #curve(station: Station): TemplateResult {
    if (station === 'string') {
      const string = stringModel(heard.value.instrument.strings[stringIndex.value]);
      return miniPartials(Array.from({ length: 60 }, (_, i) => partial(string, i + 1, view.value.fret)));
    }
    const point = (STATIONS.indexOf(station) + 1) as TestPoint;
    return miniCurves(
      slots.value.map(({ letter, build }) => {
        const string = Math.min(view.value.string, build.instrument.strings.length) - 1;
        return { letter, spectrum: plotted(build, string, point) };
      }),
      PLOT_GRID,
    );
  }

  /** Figures of the heard build and of the one it is compared with, letters in their order on the sheet. */
  #figures(station: Station): TemplateResult {
    const { heard: own, reference, fret, pickup, point, units, levelMatch: matched } = view.value;
    const shown = slots.value.filter(({ letter }) => letter === own || letter === reference);
    const pair = shown.length > 1 ? shown : slots.value.filter(s => s.letter === own || slots.value.length === 2);
    const lines = pair.map(({ letter, build }) => {
      const string = Math.min(view.value.string, build.instrument.strings.length) - 1;
      return { letter, lines: stationFigures(station, { build, string, fret, pickup, point, units, matched }) };
    });
    const line = (index: 0 | 1) => {
      const parts: { letter: Letter; text: string }[] = lines.map(l => ({ letter: l.letter, text: l.lines[index] }));
      const alike = parts.every(p => p.text === parts[0].text);
      return alike
        ? html`${parts[0].text}`
        : parts.map(
            (p, i) =>
              html`${i > 0 ? ' / ' : nothing}<span style="color:${colourOf(p.letter)}"
                ><span class="reader">${p.letter} </span>${p.text}</span
              >`,
          );
    };
    const word = FIGURE_WORD[station];
    return html`<span class="figures">
      <span>${line(0)}</span>
      <span class="second">${word ? `${word} ` : nothing}${line(1)}</span>
    </span>`;
  }

  #restingFigures = atRest(() => STATIONS.map(station => this.#figures(station)));

  override updated(): void {
    // on a narrow page the opened station is brought into the row that swipes
    const row = this.renderRoot.querySelector('.stations')!;
    const opened = row.querySelector<HTMLElement>('.station[aria-pressed="true"]');
    // once a station: a width makes the browser lay out the page
    if (!opened || this.#shown === view.peek().station) return;
    this.#shown = view.peek().station;
    if (row.scrollWidth <= row.clientWidth) return;
    row.scrollLeft = opened.offsetLeft - (row.clientWidth - opened.offsetWidth) / 2;
  }
  #shown = '';

  override render() {
    const { station: open, point } = view.value;
    const figures = this.#restingFigures();
    return html`<div class="row">
      <h2>${words.path}</h2>
      <ol class="stations">
        ${STATIONS.map((station, i) => {
          const n = TEST_POINTS[i];
          return html`<li>
            <button class="station" aria-pressed=${open === station} @click=${() => store.look({ station })}>
              <span class="title">${words.stations[station]}</span>
              ${this.#curve(station)} ${figures[i]}
            </button>
            <span class="point ${i === STATIONS.length - 1 ? 'last' : ''}">
              <button aria-pressed=${point === n} aria-label=${words.points[n]} title=${words.points[n]}
                @click=${() => store.look({ point: n })}>${n}</button>
            </span>
          </li>`;
        })}
      </ol>
    </div>`;
  }
}
customElements.define('cc-path', SignalPath);
