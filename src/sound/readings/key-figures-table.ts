/** Table of key figures: every build, its difference from the reference, and whether that can be heard. */
import { css, html, nothing } from 'lit';
import type { Letter } from '../../../shared/document/sheet.ts';
import { LEVEL_STEP, qOfHeight, RESONANCE_MEASURED, resonanceStep } from '../../../shared/response/noticeable.ts';
import { colourOf } from '../../parts/builds.ts';
import { type Cell, csv } from '../../parts/plot-csv.ts';
import { saveFile } from '../../parts/plot-export.ts';
import { frequencyText, signedNumber } from '../../parts/plot-ticks.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { notify } from '../../state/notices.ts';
import { curves, heard, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/readings-words.ts';
import { type KeyFigures, keyFigures } from './key-figures.ts';

const NULLS_SHOWN = 4;
const dB = (value: number, plus = false) => `${signedNumber(value, 1, plus)} dB`;
/** Hum this far down is not a figure any more: two coils that match exactly only exist in a model, dB. */
const CANCELLED = -80;
const hum = (value: number | null) =>
  value === null ? words.table.none : value < CANCELLED ? words.table.cancelled : dB(value);
const kilohertz = (value: number) => (value >= 1000 ? `${(value / 1000).toFixed(2)} kHz` : `${value.toFixed(0)} Hz`);
const share = (value: number, from: number) => `${signedNumber((value / from - 1) * 100, 1, true)} %`;

interface Row {
  letter: Letter;
  name: string;
  figures: KeyFigures;
}

export class KeyFiguresTable extends SignalElement {
  static override styles = [
    shared,
    css`
      .scroll { overflow-x: auto; }
      .scroll:focus-visible { outline-offset: -2px; }
      table { min-width: 42rem; }
      th, td { white-space: nowrap; }
      thead th { border-bottom: 1px solid var(--hairline); padding-bottom: 0.1rem; font-size: 0.85rem; }
      tbody th { font-weight: 600; font-family: var(--ui); }
      .difference th, .difference td { color: var(--soft); }
      .partial { color: var(--soft); font-size: 0.85em; }
      .below { display: flex; gap: 0.2rem 1rem; align-items: baseline; flex-wrap: wrap; margin-top: 0.25rem; }
      .below p { flex: 1 1 18rem; font-size: 0.88rem; }
      .below .keep { white-space: nowrap; }
      button { min-height: 1.7rem; padding: 0.1rem 0.5rem; font-size: 0.85rem; }
      @media (pointer: coarse) { button { min-height: 44px; } }
      @media print { button { display: none; } }
    `,
  ];

  #rows(): Row[] {
    const { point, fret } = view.value;
    return curves.value.map(({ letter, build, string }) => ({
      letter,
      name: build.name,
      figures: keyFigures(build, string, point, fret),
    }));
  }

  #cells(rows: readonly Row[]): Cell[][] {
    const { head } = words.table;
    return [
      [
        head.build,
        head.name,
        head.resonance,
        head.height,
        head.corner,
        head.level,
        head.hum,
        head.nulls,
        head.partials,
      ],
      ...rows.map(({ letter, name, figures }): Cell[] => [
        letter,
        name,
        figures.resonance,
        figures.resonance === null ? null : figures.height,
        figures.corner,
        figures.level,
        figures.hum,
        figures.nulls.map(one => one.frequency).join(' '),
        figures.nulls.map(one => one.partial).join(' '),
      ]),
    ];
  }

  #copy = async (): Promise<void> => {
    const text = this.#cells(this.#rows())
      .map(row => row.map(cell => cell ?? '').join('\t'))
      .join('\n');
    try {
      await navigator.clipboard.writeText(text);
      notify(words.table.copied);
    } catch {
      notify(words.table.copyFailed, 'warning');
    }
  };

  /** What of the difference between the heard build and the reference can be heard. */
  #heard(rows: readonly Row[], reference: Row) {
    const other =
      rows.find(row => row.letter === view.value.heard && row !== reference) ?? rows.find(row => row !== reference);
    if (!other) return nothing;
    const name = words.table.difference(other.letter, reference.letter);
    const sentences: string[] = [];
    const sources: string[] = [];
    const [a, b] = [reference.figures, other.figures];
    if (a.resonance && b.resonance) {
      const step = resonanceStep(a.resonance, qOfHeight(a.height));
      const shift = b.resonance - a.resonance;
      const [low, high] = RESONANCE_MEASURED.frequency;
      const shiftText = `${signedNumber(shift, 0, true)} Hz`;
      if (Math.abs(shift) > 0.5) {
        sentences.push(
          Math.abs(shift) < step
            ? words.heard.resonanceSmall(name, shiftText, `${step.toFixed(0)} Hz`)
            : words.heard.resonanceLarge(name, shiftText, words.heard.about(Math.abs(shift) / step)),
        );
        const outside = a.resonance < low || a.resonance > high;
        sources.push(words.heard.resonanceSource + (outside ? `; ${words.heard.extrapolated}` : ''));
      }
    }
    if (a.level !== null && b.level !== null) {
      const difference = b.level - a.level;
      if (Math.abs(difference) < LEVEL_STEP && Math.abs(difference) > 0.005) {
        sentences.push(words.heard.levelSmall(name, dB(difference, true), LEVEL_STEP.toFixed(1)));
        sources.push(words.heard.levelSource);
      }
    }
    if (!sentences.length) return nothing;
    return html`<p>${sentences.join(' ')} <span class="soft small">(${sources.join('; ')})</span></p>`;
  }

  #nulls({ nulls, wired }: KeyFigures) {
    if (!wired || !nulls.length) return words.table.noNulls;
    const shown = nulls.slice(0, NULLS_SHOWN).map(
      (one, i) => html`${i ? ', ' : ''}${frequencyText(Math.round(one.frequency)).replace(/(\.0+)? Hz$/, '')}
        <span class="partial">(${one.partial.toFixed(2)})</span>`,
    );
    return html`${shown}${nulls.length > NULLS_SHOWN ? html` <span class="partial">${words.table.more(nulls.length - NULLS_SHOWN)}</span>` : nothing}`;
  }

  override render() {
    const rows = this.#rows();
    const reference = rows.find(row => row.letter === view.value.reference) ?? rows[0];
    const string = heard.value.instrument.strings[stringIndex.value].name;
    const { fret } = view.value;
    const none = words.table.none;
    const base = reference.figures;
    return html`
      <div class="scroll" role="region" tabindex="0" aria-label=${words.table.label}>
        <table>
          <thead>
            <tr>
              <th scope="col"><span class="reader">${words.table.build}</span></th>
              <th scope="col">${words.table.resonance}</th>
              <th scope="col">${words.table.height}</th>
              <th scope="col">${words.table.corner}</th>
              <th scope="col">${words.table.nullsFull(string, fret)}</th>
              <th scope="col">${words.table.levelFull}</th>
              <th scope="col">${words.table.hum}</th>
            </tr>
          </thead>
          <tbody>
            ${rows.map(
              ({ letter, name, figures }) => html`<tr>
                <th scope="row" style=${`color:${colourOf(letter)}`} aria-label=${words.series(letter, name)}>${letter}</th>
                <td>${figures.resonance === null ? none : frequencyText(figures.resonance)}</td>
                <td>${figures.resonance === null ? none : dB(figures.height, true)}</td>
                <td>${figures.corner === null ? none : kilohertz(figures.corner)}</td>
                <td>${this.#nulls(figures)}</td>
                <td>${figures.level === null || base.level === null ? none : dB(figures.level - base.level)}</td>
                <td>${hum(figures.hum)}</td>
              </tr>`,
            )}
            ${rows
              .filter(row => row !== reference)
              .map(
                ({ letter, figures }) => html`<tr class="difference">
                  <th scope="row">${words.table.difference(letter, reference.letter)}</th>
                  <td>${figures.resonance && base.resonance ? share(figures.resonance, base.resonance) : none}</td>
                  <td>${figures.resonance && base.resonance ? dB(figures.height - base.height, true) : none}</td>
                  <td>${figures.corner && base.corner ? share(figures.corner, base.corner) : none}</td>
                  <td></td>
                  <td>
                    ${figures.level === null || base.level === null ? none : dB(figures.level - base.level, true)}
                    ${
                      figures.level !== null && base.level !== null && Math.abs(figures.level - base.level) < LEVEL_STEP
                        ? html`<span class="partial">${words.table.maybe}</span>`
                        : nothing
                    }
                  </td>
                  <td>${figures.hum !== null && base.hum !== null && figures.hum > CANCELLED && base.hum > CANCELLED ? dB(figures.hum - base.hum, true) : ''}</td>
                </tr>`,
              )}
          </tbody>
        </table>
      </div>
      <div class="below">
        ${this.#heard(rows, reference)}
        <span class="keep">
          <button class="plain" title=${words.table.copyHint} aria-label=${words.table.copyHint} @click=${this.#copy}>
            ${words.table.copy}
          </button>
          <button class="plain" title=${words.table.csvHint} aria-label=${words.table.csvHint}
            @click=${() => saveFile('key-figures.csv', csv(this.#cells(this.#rows())), 'text/csv')}>
            ${words.save.csv}
          </button>
        </span>
      </div>
    `;
  }
}
customElements.define('cc-key-figures', KeyFiguresTable);
declare global {
  interface HTMLElementTagNameMap {
    'cc-key-figures': KeyFiguresTable;
  }
}
