/**
 * `<cc-readings>`: the large plot with its tabs, and the key figures under it. What is plotted follows from the sheet;
 * scales and ranges are the panel's own (choices.ts).
 */
import { css, html, nothing } from 'lit';
import type { Spectrum } from '../../../shared/complex.ts';
import type { Build } from '../../../shared/document/build.ts';
import { type Letter, READINGS, type Reading, SMOOTHINGS, type View } from '../../../shared/document/sheet.ts';
import { buildFigures } from '../../../shared/response/figures.ts';
import { figureValue } from '../../../shared/response/quantities.ts';
import { mixedResponse, response } from '../../../shared/response/response.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { saveFile } from '../../parts/plot-export.ts';
import type { PlotModel } from '../../parts/plot-model.ts';
import '../../parts/plot.ts';
import { usualPluck } from '../../../shared/take/modelled.ts';
import type { Plot } from '../../parts/plot.ts';
import { SignalElement } from '../../parts/signal-element.ts';
import { shared } from '../../parts/styles.ts';
import { liveSamples, liveTap } from '../../state/live-mode.ts';
import { measured, measureProblem, stringDensities } from '../../state/measured.ts';
import { notify } from '../../state/notices.ts';
import { curves, everyCurve, heard, PLOT_GRID, plotted, slots, store, stringIndex, view } from '../../state/page.ts';
import { currentTake } from '../../state/take.ts';
import { words } from '../../words/readings-words.ts';
import {
  absolute,
  asFigures,
  DIFFERENCE_SPANS,
  differenceSpan,
  impedanceAt,
  impedancePhase,
  liveWanted,
  SPANS,
  span,
  withPluck,
  X_RANGES,
  type XRange,
  xRange,
} from './choices.ts';
import { impedanceOf } from './impedances.ts';
import './key-figures-table.ts';
import { smoothed } from '../../../shared/audio/smoothing.ts';
import { powerDensity } from '../../../shared/audio/spectrum.ts';
import {
  differenceModel,
  estimatedDensity,
  impedanceModel,
  partialsModel,
  responseModel,
  type Setting,
  type Shown,
  spectrumModel,
} from './models.ts';
import { shaded, weakBands } from './weak-bands.ts';

/** Pictures of the live spectrum per second at most. */
const LIVE_RATE = 20;

/** A plot, or the reason why there is none. */
type Plotted = { model: PlotModel; note: string } | { model: null; note: string };

export class Readings extends SignalElement {
  static override styles = [
    shared,
    css`
      .sheet { padding: 0.45rem 1rem 0.5rem; display: flex; flex-direction: column; gap: 0.3rem; }
      .head { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 1.2rem; }
      [role='tablist'] { display: flex; gap: 0.2rem; overflow-x: auto; margin-left: -0.55rem; }
      [role='tab'] { border-color: transparent; padding: 0.25rem 0.55rem; white-space: nowrap; }
      [role='tab'][aria-selected='true'] { font-weight: 600; border-color: transparent; }
      .where { margin-left: auto; font-size: 0.88rem; color: var(--soft); }
      .tools { display: flex; flex-wrap: wrap; gap: 0.25rem 0.7rem; align-items: center; font-size: 0.88rem; }
      .tools label { display: inline-flex; align-items: center; gap: 0.35rem; color: var(--soft); }
      .tools select, .tools button { min-height: 1.75rem; padding: 0.1rem 0.4rem; font-size: 0.88rem; color: var(--ink); }
      .group { display: inline-flex; }
      .group button + button { border-left: 0; }
      .group button[aria-pressed='true'] { box-shadow: inset 0 -2px 0 var(--ink); border-color: var(--hairline); font-weight: 600; }
      .away { margin-left: auto; display: inline-flex; gap: 0.1rem; }
      [role='tabpanel'] { display: flex; flex-direction: column; gap: 0.25rem; block-size: 18.6rem; }
      cc-plot { flex: 1; min-block-size: 10rem; }
      .empty { flex: 1; display: grid; place-content: center; text-align: center; color: var(--soft); }
      .empty p { max-width: 30rem; }
      .note { font-size: 0.85rem; color: var(--soft); }
      @media screen {
        :host([compact]) { height: 100%; }
        :host([compact]) .sheet { padding-block: 0.2rem 0.3rem; gap: 0.1rem; }
        :host([compact]) [role='tabpanel'] { block-size: max(9rem, 100cqh - 3.1rem); }
        :host([compact]) cc-plot { min-block-size: 6rem; }
        :host([compact]) .sheet { position: relative; }
        /* what is plotted stands in the row of test points just above */
        :host([compact]) .where { display: none; }
        :host([compact]) .away { position: absolute; top: 0.3rem; right: 0.6rem; }
      }
      @media (pointer: coarse) { .tools select, .tools button { min-height: 44px; } }
      @media (max-width: 600px) {
        .sheet { padding: 0.4rem 0.6rem; }
        .where { margin-left: 0; flex-basis: 100%; }
        .away { margin-left: 0; }
        [role='tabpanel'] { block-size: auto; }
        cc-plot, .empty { flex: none; block-size: 17rem; }
      }
      @media print { .tools, [role='tab'][aria-selected='false'] { display: none; } }
    `,
  ];

  #frame = 0;
  #liveAt = 0;
  #live: { letter: Letter; density: Float64Array } | null = null;
  /** Spectra on the plot grid, by density and smoothing, so that a picture of the live spectrum costs no more than itself. */
  #smoothed = new WeakMap<Float64Array, { n: number; grid: Float64Array }>();

  override connectedCallback(): void {
    super.connectedCallback();
    this.#frame = requestAnimationFrame(this.#tick);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    cancelAnimationFrame(this.#frame);
  }

  #tick = (now: number): void => {
    this.#frame = requestAnimationFrame(this.#tick);
    if (now - this.#liveAt < 1000 / LIVE_RATE) return;
    this.#liveAt = now;
    const sheet = view.peek();
    if (sheet.reading !== 'spectrum' || !liveWanted.peek() || asFigures.peek()) {
      this.#live = null;
      return;
    }
    const samples = liveSamples();
    const tap = liveTap.peek();
    if (!samples || !tap || samples.length < 1024) {
      if (this.#live) {
        this.#live = null;
        this.requestUpdate();
      }
      return;
    }
    const size = 2 ** Math.min(14, Math.floor(Math.log2(samples.length)));
    const { frequencies, power } = powerDensity(samples, tap.sampleRate, size);
    // a single short block is rough: it is never drawn finer than 1/12 octave
    const n = sheet.smoothing === 0 || sheet.smoothing > 12 ? 12 : sheet.smoothing;
    this.#live = { letter: sheet.heard, density: smoothed(frequencies, power, PLOT_GRID, n) };
    this.requestUpdate();
  };

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

  #setting(): Setting {
    const sheet = view.value;
    const x = sheet.reading === 'partials' ? X_RANGES.whole : X_RANGES[xRange.value];
    // what belongs to no string is shown of every instrument
    const every = sheet.reading === 'spectrum' || sheet.reading === 'impedance';
    return {
      frequencies: PLOT_GRID,
      builds: every ? everyCurve.value : curves.value,
      reference: sheet.reference,
      point: sheet.point,
      stringName: heard.value.instrument.strings[stringIndex.value].name,
      x,
    };
  }

  #figures(one: Shown) {
    return buildFigures(one.build, { string: one.string, point: view.value.point, fret: view.value.fret });
  }

  #response(setting: Setting): Plotted {
    const { point, allStrings } = view.value;
    const figures = setting.builds.map(one => [one.letter, this.#figures(one)] as const);
    const others = allStrings
      ? setting.builds.flatMap(one =>
          one.build.instrument.strings.flatMap((string, index) =>
            index === one.string
              ? []
              : [{ ...one, string: index, name: string.name, spectrum: plotted(one.build, index, point) }],
          ),
        )
      : [];
    const model = responseModel(setting, {
      absolute: absolute.value,
      span: span.value,
      dips: new Map(figures.map(([letter, one]) => [letter, one.dips])),
      resonances: new Map(
        figures.flatMap(([letter, one]) => {
          const resonance = figureValue(one.figures, 'resonance');
          return resonance === null ? [] : [[letter, resonance] as const];
        }),
      ),
      others,
      exact: (one, frequency) => response(one.build, one.string, point, Float64Array.of(frequency)),
    });
    const silent = figures.filter(([, one]) => !one.wired).map(([letter]) => letter);
    return { model, note: silent.length && point > 1 ? words.notWired(silent.join(', ')) : '' };
  }

  #spectrum(setting: Setting): Plotted {
    const { point, smoothing } = view.value;
    const take = currentTake.value;
    if (!take) return { model: null, note: words.noTake };
    const density = new Map<Letter, Float64Array>();
    let estimated = false;
    for (const { letter, build } of setting.builds) {
      const exact = measured(build, point)?.density;
      if (exact) density.set(letter, this.#onGrid(exact.frequencies, exact.power, smoothing));
      else {
        estimated = true;
        const mixture = take.uncombed?.length ? mixedResponse(build, point, PLOT_GRID) : null;
        const responses: Spectrum[] = build.instrument.strings.map((_, index) =>
          mixture && take.uncombed?.includes(index) ? mixture : plotted(build, index, point),
        );
        const strings = stringDensities();
        const estimate = strings && estimatedDensity(strings, responses, PLOT_GRID);
        if (estimate) density.set(letter, smoothed(PLOT_GRID, estimate, PLOT_GRID, smoothing));
      }
    }
    const failed = measureProblem.value;
    if (!density.size) return { model: null, note: failed ? words.takeFailed : words.loadingTake };
    const how = failed ? words.takeFailed : estimated ? words.estimate : words.exact;
    const waiting = liveWanted.value && !this.#live ? ` ${words.liveIdle}` : '';
    const model = spectrumModel(setting, {
      density,
      live: this.#live,
      smoothing,
      span: span.value,
      take: take.id,
      how,
    });
    return { model, note: how + waiting };
  }

  #onGrid(frequencies: Float64Array, power: Float64Array, n: number): Float64Array {
    const known = this.#smoothed.get(power);
    if (known?.n === n) return known.grid;
    const grid = smoothed(frequencies, power, PLOT_GRID, n);
    this.#smoothed.set(power, { n, grid });
    return grid;
  }

  #partials(setting: Setting): Plotted {
    const { point, fret } = view.value;
    const pluck = store.sheet.value.pluck ?? usualPluck(...heard.value.instrument.strings.map(s => s.scale));
    const model = partialsModel(setting, {
      fret,
      pluck: withPluck.value ? pluck : null,
      span: span.value,
      dips: new Map(setting.builds.map(one => [one.letter, this.#figures(one).dips])),
      exact: (one, frequencies) => response(one.build, one.string, point, frequencies),
    });
    return {
      model,
      note: withPluck.value ? words.withPluckHint(formatQuantity(pluck, 'length', view.value.units)) : '',
    };
  }

  #impedance(setting: Setting): Plotted {
    const wanted = this.#places().some(([id]) => id === impedanceAt.value) ? impedanceAt.value : null;
    const found = setting.builds.flatMap(one => {
      const curve = impedanceOf(one.build, wanted, PLOT_GRID);
      return curve ? [[one.letter, curve] as const] : [];
    });
    const where = this.#places().find(([id]) => id === wanted)?.[1] ?? words.atOutput;
    const model = impedanceModel(setting, { curves: new Map(found), where: `${where}`, phase: impedancePhase.value });
    return { model, note: '' };
  }

  /** Places an impedance is seen at: the output, and every pickup of any build. */
  #places(): [string | null, string][] {
    const pickups = new Map<string, string>();
    for (const { build } of slots.value)
      for (const pickup of build.pickups) if (!pickups.has(pickup.id)) pickups.set(pickup.id, pickup.name || pickup.id);
    return [[null, words.atOutput], ...[...pickups].map(([id, name]): [string, string] => [id, words.atPickup(name)])];
  }

  /** What is plotted, shaded where the current take says too little. */
  #plotted(): Plotted {
    const { model, note } = this.#unshaded();
    const { reading } = view.value;
    if (!model || reading === 'impedance' || reading === 'partials') return { model, note };
    const weak = weakBands(currentTake.value, reading === 'spectrum' ? null : stringIndex.value);
    return weak.length === 0
      ? { model, note }
      : { model: shaded(model, weak), note: [note, words.weakHint].filter(Boolean).join(' ') };
  }

  #unshaded(): Plotted {
    try {
      const setting = this.#setting();
      switch (view.value.reading) {
        case 'response':
          return this.#response(setting);
        case 'spectrum':
          return this.#spectrum(setting);
        case 'difference':
          if (setting.builds.length < 2) return { model: null, note: words.alone };
          return {
            model: differenceModel(setting, { smoothing: view.value.smoothing, span: differenceSpan.value }),
            note: '',
          };
        case 'partials':
          return this.#partials(setting);
        case 'impedance':
          return this.#impedance(setting);
      }
    } catch (error) {
      // a network that contradicts itself says what is wrong in its own words
      return { model: null, note: error instanceof Error ? error.message : String(error) };
    }
  }

  async #save(kind: 'svg' | 'png' | 'csv'): Promise<void> {
    const plot = this.renderRoot.querySelector('cc-plot') as Plot | null;
    if (!plot?.model) return;
    const { reading, point } = view.value;
    const name = `${reading}-tp${point}-${slots.value.map(slot => slot.letter).join('')}.${kind}`;
    try {
      if (kind === 'svg') saveFile(name, await plot.toSvg(), 'image/svg+xml');
      else if (kind === 'png') saveFile(name, await plot.toPng());
      else saveFile(name, plot.toCsv(), 'text/csv');
    } catch {
      notify(words.saveFailed, 'warning');
    }
  }

  #select(
    label: string,
    options: readonly (readonly [value: string, text: string])[],
    now: string,
    change: (value: string) => void,
  ) {
    return html`<label>
      ${label}
      <select .value=${now} @change=${(event: Event) => change((event.target as HTMLSelectElement).value)}>
        ${options.map(([value, text]) => html`<option value=${value} ?selected=${value === now}>${text}</option>`)}
      </select>
    </label>`;
  }

  #check(label: string, now: boolean, change: (on: boolean) => void) {
    return html`<label class="check">
      <input type="checkbox" .checked=${now} @change=${(event: Event) => change((event.target as HTMLInputElement).checked)} />
      ${label}
    </label>`;
  }

  #stringChoice(sheet: View, every: boolean) {
    const strings = heard.value.instrument.strings;
    const options = strings.map((string, index) => [String(index + 1), string.name] as const);
    return this.#select(
      words.stringLabel,
      every ? [...options, ['all', words.allStrings]] : options,
      every && sheet.allStrings ? 'all' : String(stringIndex.value + 1),
      value => store.look(value === 'all' ? { allStrings: true } : { allStrings: false, string: Number(value) }),
    );
  }

  #referenceChoice(sheet: View) {
    return this.#select(
      words.referenceLabel,
      slots.value.map(({ letter }) => [letter, letter] as const),
      sheet.reference,
      value => store.look({ reference: value as Letter }),
    );
  }

  #smoothingChoice(sheet: View) {
    return this.#select(
      words.smoothingLabel,
      SMOOTHINGS.map(n => [String(n), words.smoothingShort(n)] as const),
      String(sheet.smoothing),
      value => store.look({ smoothing: Number(value) as View['smoothing'] }),
    );
  }

  #tools(sheet: View) {
    const { reading } = sheet;
    const height = this.#select(
      words.rangeY,
      SPANS.map(value => [String(value), words.span(value)] as const),
      String(span.value),
      value => {
        span.value = Number(value);
      },
    );
    switch (reading) {
      case 'response':
        return html`${this.#stringChoice(sheet, true)}
        ${this.#select(
          words.scaleLabel,
          [
            ...slots.value.map(({ letter }) => [letter, words.relative(letter)] as const),
            ['absolute', words.absolute(words.absoluteUnits[sheet.point])],
          ],
          absolute.value ? 'absolute' : sheet.reference,
          value => {
            absolute.value = value === 'absolute';
            if (value !== 'absolute') store.look({ reference: value as Letter });
          },
        )}
        ${height}`;
      case 'spectrum':
        return html`${this.#smoothingChoice(sheet)} ${this.#referenceChoice(sheet)} ${height}
        ${this.#check(words.live, liveWanted.value, on => {
          liveWanted.value = on;
        })}`;
      case 'difference':
        return html`${this.#stringChoice(sheet, false)} ${this.#referenceChoice(sheet)} ${this.#smoothingChoice(sheet)}
        ${this.#select(
          words.rangeY,
          DIFFERENCE_SPANS.map(value => [String(value), words.spanBoth(value)] as const),
          String(differenceSpan.value),
          value => {
            differenceSpan.value = Number(value);
          },
        )}`;
      case 'partials':
        return html`${this.#stringChoice(sheet, false)}
        ${this.#select(
          words.fretLabel,
          Array.from({ length: heard.value.instrument.frets + 1 }, (_, fret) => [
            String(fret),
            fret === 0 ? words.openString : String(fret),
          ]),
          String(sheet.fret),
          value => store.look({ fret: Number(value) }),
        )}
        ${this.#referenceChoice(sheet)} ${height}
        ${this.#check(words.withPluck, withPluck.value, on => {
          withPluck.value = on;
        })}`;
      case 'impedance':
        return html`${this.#select(
          words.whereLabel,
          this.#places().map(([id, name]) => [id ?? '', name] as const),
          impedanceAt.value ?? '',
          value => {
            impedanceAt.value = value || null;
          },
        )}
        ${this.#select(
          words.quantityLabel,
          [
            ['magnitude', words.magnitude],
            ['phase', words.phase],
          ],
          impedancePhase.value ? 'phase' : 'magnitude',
          value => {
            impedancePhase.value = value === 'phase';
          },
        )}`;
    }
  }

  #rangeX() {
    return html`<span class="group" role="group" aria-label=${words.rangeX}>
      ${(Object.keys(X_RANGES) as XRange[]).map(
        range =>
          html`<button
            aria-pressed=${xRange.value === range ? 'true' : 'false'}
            aria-label=${words.rangesXSpoken[range]}
            @click=${() => {
              xRange.value = range;
            }}
          >${words.rangesX[range]}</button>`,
      )}
    </span>`;
  }

  #where(reading: Reading, build: Build): string {
    const { point, allStrings } = view.value;
    const string = build.instrument.strings[stringIndex.value].name;
    if (reading === 'spectrum') return words.atTake(point);
    if (reading === 'impedance') return '';
    return reading === 'response' && allStrings ? words.atAllStrings(point) : words.at(point, string);
  }

  override render() {
    const sheet = view.value;
    const { reading } = sheet;
    const { model, note } = this.#plotted();
    const kinds = ['svg', 'png', 'csv'] as const;
    return html`<div class="panel sheet">
      <div class="head">
        <div role="tablist" aria-label=${words.tabsLabel} @keydown=${this.#key}>
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
        </div>
        <p class="where">${this.#where(reading, heard.value)}</p>
      </div>
      <div id="plot" role="tabpanel" aria-labelledby=${`tab-${reading}`}>
        <div class="tools">
          ${this.#tools(sheet)} ${reading === 'partials' ? nothing : this.#rangeX()}
          <span class="away">
            <button class="plain" aria-pressed=${asFigures.value ? 'true' : 'false'} aria-label=${words.figuresHint}
              @click=${() => {
                asFigures.value = !asFigures.value;
              }}>${words.figures}</button>
            ${kinds.map(
              kind =>
                html`<button class="plain" ?disabled=${!model} title=${words.saveHint[kind]} aria-label=${words.saveHint[kind]}
                  @click=${() => this.#save(kind)}>${words.save[kind]}</button>`,
            )}
          </span>
        </div>
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
