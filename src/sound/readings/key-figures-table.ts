/** Table of key figures: every build, its difference from the reference, and whether that can be heard. */
import { html, nothing } from 'lit';
import { type Build, isBehindNetwork } from '../../../shared/document/build.ts';
import type { Letter } from '../../../shared/document/sheet.ts';
import { type BuildFigures, buildFigures, OCTAVES } from '../../../shared/response/figures.ts';
import { BAND_STEP, LEVEL_STEP, type Peak, reaches, resonanceShift } from '../../../shared/response/noticeable.ts';
import { figureValue, figureValues, type Quantity } from '../../../shared/response/quantities.ts';
import { spectrumStep } from '../../../shared/response/spectrum-step.ts';
import { colourOf } from '../../parts/builds.ts';
import {
  decibelText,
  depthText,
  frequencyText,
  humText,
  loadText,
  modelledIf,
  modelledLegend,
  octavesText,
} from '../../parts/figure-text.ts';
import { type Cell, csv } from '../../parts/plot-csv.ts';
import { saveFile } from '../../parts/plot-export.ts';
import { signedNumber } from '../../parts/plot-ticks.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { atRest } from '../../state/at-rest.ts';
import { notify } from '../../state/notices.ts';
import { compared, heard, stringIndex, view } from '../../state/page.ts';
import { quantities, words as quantityWords } from '../../words/quantity-words.ts';
import { words } from '../../words/readings-words.ts';
import { unlikeFields } from '../path/aperture-figures.ts';
import { keyFiguresStyles } from './readings-styles.ts';

const DIPS_SHOWN = 3;
const share = (value: number, from: number) => `${signedNumber((value / from - 1) * 100, 1, true)} %`;

interface Row {
  letter: Letter;
  name: string;
  position: string;
  figures: BuildFigures;
  /** The instrument has the string that is looked at. */
  hasString: boolean;
  build: Build;
}

const of = (row: Row, quantity: Quantity): number | null => figureValue(row.figures.figures, quantity);
const peakOf = (row: Row): Peak | null => {
  const [resonance, peak] = [of(row, 'resonance'), of(row, 'peak')];
  return resonance === null || peak === null ? null : { resonance, peak };
};

export class KeyFiguresTable extends SignalElement {
  static override styles = [shared, keyFiguresStyles];

  #rows(): Row[] {
    const { point, fret } = view.value;
    return compared.value.map(({ letter, build, string }) => ({
      letter,
      name: build.name,
      position: build.harness.positions[build.harness.selected]?.label ?? '',
      figures: buildFigures(build, { string: string ?? 0, point, fret }),
      hasString: string !== null,
      build,
    }));
  }

  /** The table as it is exported: the zero of the level is the reference, as it is on the page. */
  #cells(rows: readonly Row[]): Cell[][] {
    const reference = this.#reference(rows);
    const base = of(reference, 'level');
    const column = (quantity: Quantity) => quantities[quantity].column;
    return [
      [
        words.table.head.build,
        words.table.head.name,
        words.table.head.position,
        column('resonance'),
        column('peak'),
        ...OCTAVES.map(words.table.head.octave),
        words.table.head.level(reference.letter),
        column('hum'),
        column('dip'),
        column('depth'),
        column('partial'),
      ],
      ...rows.map((row): Cell[] => {
        const dips = row.hasString ? row.figures.dips : [];
        const level = of(row, 'level');
        return [
          row.letter,
          row.name,
          row.position,
          of(row, 'resonance'),
          of(row, 'peak'),
          ...OCTAVES.map((_, i) => figureValues(row.figures.figures, 'octave')[i] ?? null),
          level === null || base === null ? null : level - base,
          of(row, 'hum'),
          dips.map(dip => dip.frequency).join(' '),
          dips.map(dip => dip.depth).join(' '),
          dips.map(dip => dip.partial).join(' '),
        ];
      }),
    ];
  }

  #reference = (rows: readonly Row[]): Row => rows.find(row => row.letter === view.value.reference) ?? rows[0];

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
  #heard(rows: readonly Row[], reference: Row): string {
    const other =
      rows.find(row => row.letter === view.value.heard && row !== reference) ?? rows.find(row => row !== reference);
    if (!other?.hasString || !reference.hasString) return '';
    const name = words.table.difference(other.letter, reference.letter);
    const said: string[] = [];
    const [a, b] = [peakOf(reference), peakOf(other)];
    const step = a && b ? b.resonance - a.resonance : 0;
    if (a && b && Math.abs(step) > 0.5) {
      const { times, extrapolated } = resonanceShift(a, b);
      const text = `${signedNumber(step, 0, true)} Hz`;
      said.push(
        times < 1
          ? words.heard.resonanceSmall(name, text, quantityWords.share(times))
          : words.heard.resonanceLarge(name, text, quantityWords.times(times)),
      );
      said.push(`(${words.heard.resonanceSource}${extrapolated ? `; ${words.heard.extrapolated}` : ''})`);
    }
    const band = spectrumStep(reference.build, other.build, view.value.point);
    const limit = `${BAND_STEP} dB`;
    if (band && Math.abs(band.step) > 0.005)
      said.push(
        reaches(band.step, BAND_STEP)
          ? words.heard.bandLarge(name, decibelText(band.step), frequencyText(band.at), band.string, limit)
          : words.heard.bandSmall(name, decibelText(Math.abs(band.step)).replace('+', ''), limit),
        `(${words.heard.bandSource})`,
      );
    return said.join(' ');
  }

  #dips({ figures, hasString, build }: Row) {
    if (!hasString || !figures.wired || figures.dips.length === 0) return quantityWords.none;
    const mixed = unlikeFields([build]);
    const shown = figures.dips.slice(0, DIPS_SHOWN).map(({ frequency, depth, partial, cause }, i) => {
      const why = cause ? quantityWords.causes[cause] : quantityWords.severalCauses;
      return html`${i ? '; ' : ''}<span title=${why}>${modelledIf(mixed, frequencyText(frequency))}
        <span class="partial">(${partial.toFixed(1)})</span> ${depthText(depth)}<span class="reader">, ${why}</span></span>`;
    });
    const rest = figures.dips.length - shown.length;
    return html`${shown}${rest > 0 ? html` <span class="partial">${words.table.more(rest)}</span>` : nothing}`;
  }

  #row(row: Row, reference: Row, base: number | null) {
    const { letter, name, position, figures } = row;
    const peak = peakOf(row);
    const level = of(row, 'level');
    const electrical = isBehindNetwork(view.value.point);
    const none = quantityWords.none;
    return html`<tr>
      <th scope="row">
        <span style=${`color:${colourOf(letter)}`}>${letter}</span>
        <span class="named">${name}${position ? html`<span class="partial">${name ? ', ' : ''}${position}</span>` : nothing}</span>
      </th>
      ${electrical ? html`<td>${peak ? frequencyText(peak.resonance) : none}</td><td>${peak ? decibelText(peak.peak) : none}</td>` : nothing}
      <td>${modelledIf(unlikeFields([row.build]), octavesText(figures.figures))}</td>
      <td>${level === null || base === null ? none : modelledIf(unlikeFields([reference.build, row.build]), decibelText(level - base))}</td>
      ${electrical ? html`<td>${humText(of(row, 'hum'))}</td>` : nothing}
      <td class="dips">${this.#dips(row)}</td>
    </tr>`;
  }

  #difference(row: Row, reference: Row) {
    const [a, b] = [peakOf(reference), peakOf(row)];
    const [l, m] = [of(reference, 'level'), of(row, 'level')];
    const [p, q] = [reference, row].map(one => figureValues(one.figures.figures, 'octave'));
    const steps = q.map((value, i) => (value === null || p[i] === null ? null : value - p[i]!));
    const [h, g] = [of(reference, 'hum'), of(row, 'hum')];
    const electrical = isBehindNetwork(view.value.point);
    const none = quantityWords.none;
    return html`<tr class="difference">
      <th scope="row">${words.table.difference(row.letter, reference.letter)}</th>
      ${electrical ? html`<td>${a && b ? share(b.resonance, a.resonance) : none}</td><td>${a && b ? decibelText(b.peak - a.peak) : none}</td>` : nothing}
      <td>${steps.some(step => step === null) ? none : modelledIf(unlikeFields([row.build]) || unlikeFields([reference.build]), steps.map(step => signedNumber(step!, 1, true)).join(' / '))}</td>
      <td>
        ${l === null || m === null ? none : modelledIf(unlikeFields([reference.build, row.build]), decibelText(m - l))}
        ${l !== null && m !== null && !reaches(m - l, LEVEL_STEP) ? html`<span class="partial">${words.table.maybe}</span>` : nothing}
      </td>
      ${electrical ? html`<td>${h !== null && g !== null && Number.isFinite(h) && Number.isFinite(g) ? decibelText(g - h) : nothing}</td>` : nothing}
    </tr>`;
  }

  #head(reference: Row) {
    const string = heard.value.instrument.strings[stringIndex.value].name;
    const { fret, point } = view.value;
    const column = (quantity: Quantity, text: string = quantities[quantity].name) =>
      html`<th scope="col" title=${quantities[quantity].meaning}>${text}</th>`;
    return html`<tr>
      <th scope="col"><span class="reader">${words.table.build}</span></th>
      ${isBehindNetwork(point) ? html`${column('resonance')}${column('peak')}` : nothing}
      ${column('octave', words.table.octaves)}
      ${column('level', words.table.level(reference.letter))} ${isBehindNetwork(point) ? column('hum', words.table.hum) : nothing}
      ${column('dip', words.table.dips(string, fret))}
    </tr>`;
  }

  #resting = atRest(() => this.#table());

  override render() {
    return this.#resting();
  }

  #table() {
    const rows = this.#rows();
    const reference = this.#reference(rows);
    const base = of(reference, 'level');
    const string = heard.value.instrument.strings[stringIndex.value].name;
    const without = rows.filter(row => !row.hasString).map(row => row.letter);
    const own = rows.find(row => row.letter === view.value.heard) ?? reference;
    const load = loadText(own.figures.figures);
    const notes = [
      load && words.table.load(own.letter, load),
      without.length > 0 ? words.table.noString(without.join(', '), string) : '',
      this.#heard(rows, reference),
      // the one place on this bench that says what the sign means, which stations and plan write too
      modelledLegend(),
    ].filter(Boolean);
    return html`
      <div class="scroll" role="region" tabindex="0" aria-label=${words.table.label}>
        <table>
          <thead>${this.#head(reference)}</thead>
          <tbody>
            ${rows.map(row => this.#row(row, reference, reference.hasString === row.hasString ? base : null))}
            ${rows
              .filter(row => row !== reference && row.hasString === reference.hasString)
              .map(row => this.#difference(row, reference))}
          </tbody>
        </table>
      </div>
      <details class="meanings">
        <summary>${words.table.meanings}</summary>
        <dl>
          ${Object.values(quantities).map(({ name, meaning }) => html`<dt>${name}</dt><dd>${meaning}</dd>`)}
        </dl>
      </details>
      <div class="below">
        <div class="notes">${notes.map(note => html`<p>${note}</p>`)}</div>
        <span class="keep">
          <button class="plain" title=${words.table.copyHint} aria-label=${words.table.copyHint} @click=${this.#copy}>
            ${words.table.copy}
          </button>
          <button class="plain" title=${words.table.csvHint} aria-label=${words.table.csvHint}
            @click=${() => saveFile({ name: 'key-figures.csv', content: csv(this.#cells(this.#rows())), type: 'text/csv' })}>
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
