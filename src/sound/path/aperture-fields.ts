/** Fields of the station "Aperture": how much string each coil senses, and how far its coils stand apart. */
import { html, nothing, svg, type TemplateResult } from 'lit';
import { live } from 'lit/directives/live.js';
import { type Build, type Coil, type Pickup, RANGE, WINDOW_SHAPES } from '../../../shared/document/build.ts';
import { setCoils, setSpacing } from '../../../shared/document/edits/coils.ts';
import { opposed } from '../../../shared/response/mixing.ts';
import { faceDepth } from '../../../shared/sensor/field.ts';
import { coilOnString } from '../../../shared/sensor/placement.ts';
import { windowExtent, windowSensitivity } from '../../../shared/sensor/windows.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { colourOf } from '../../parts/builds.ts';
import { frequencyText, modelledText } from '../../parts/figure-text.ts';
import { editHeard, heard, heardPickup, stringIndex, view } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { apertureCorner, coilsInUse } from './aperture-figures.ts';
import { choiceField, quantityAt, quantityField } from './fields.ts';
import { pickupChoice, pickupPointer } from './pickup-fields.ts';

const mm = 1e-3;
const SHAPES = WINDOW_SHAPES.map(shape => [shape, words.windows[shape]] as const);

const editCoils = (
  label: string,
  pickup: Pickup,
  change: (coil: Coil, i: number) => Coil,
  gesture: string | null = null,
) =>
  editHeard(words.changeStep(label), build => setCoils(build, pickup.id, change), gesture && `${pickup.id} ${gesture}`);

const withWindow = (coil: Coil, change: Partial<Coil['window']>): Coil => ({
  ...coil,
  window: { ...coil.window, ...change },
});

const alike = (coils: readonly Coil[]): boolean =>
  coils.every(
    c =>
      c.window.shape === coils[0].window.shape &&
      c.window.width === coils[0].window.width &&
      c.window.depth === coils[0].window.depth,
  );

type ApplyWindow = (label: string, change: Partial<Coil['window']>, gesture?: string | null) => void;

/** How deep below the face the charge lies: as derived from its size, or entered. */
function depthFields(pickup: Pickup, coil: Coil, apply: ApplyWindow): TemplateResult {
  const derived = faceDepth(pickup.poles.size);
  const { depth } = coil.window;
  return html`<label class="check whole">
      <input type="checkbox" .checked=${live(depth === null)}
        @change=${() => apply(words.windowDepth, { depth: depth === null ? derived : null })} />
      ${words.depthDerived(formatQuantity(derived, 'smallLength', view.value.units))}
    </label>
    ${
      depth === null
        ? nothing
        : quantityField(
            words.windowDepth,
            'smallLength',
            depth,
            RANGE.windowDepth,
            (value, gesture) => apply(words.windowDepth, { depth: value }, gesture),
            { step: 0.1 * mm },
          )
    }`;
}

/** Shape and size of one coil's window; `coils`: those that an entry goes to. */
function windowFields(pickup: Pickup, coil: Coil, key: string, mine: (coil: Coil) => boolean): TemplateResult {
  const { shape } = coil.window;
  const apply: ApplyWindow = (label, change, gesture = null) =>
    editCoils(label, pickup, c => (mine(c) ? withWindow(c, change) : c), gesture && `${key} ${gesture}`);
  return html`${choiceField(`window ${key}`, words.window, shape, SHAPES, value => apply(words.window, { shape: value }))}
  ${
    shape === 'pole'
      ? depthFields(pickup, coil, apply)
      : quantityField(
          words.windowWidth[shape],
          'smallLength',
          coil.window.width,
          [0.5 * mm, 80 * mm],
          (width, gesture) => apply(words.windowWidth[shape], { width }, gesture),
          { step: 0.5 * mm },
        )
  }`;
}

/** Sensitivity of every coil along the selected string, to scale, with the string above it. */
function drawing(build: Build, pickup: Pickup, string: number): TemplateResult {
  const used = new Set(coilsInUse(build, pickup));
  const coils = pickup.coils
    .map(coil => ({ coil, at: coilOnString(build, pickup, coil, string) }))
    .filter(({ at }) => at.level > 0);
  if (coils.length === 0) return html`${nothing}`;
  const middle = coils.reduce((sum, { at }) => sum + at.x, 0) / coils.length;
  const reach = Math.max(
    22 * mm,
    ...coils.map(({ coil, at }) => Math.abs(at.x - middle) + 1.2 * windowExtent(coil.window, at.field)),
  );
  const [width, height, base] = [440, 96, 74];
  const x = (u: number) => width / 2 + (u / reach) * (width / 2 - 8);
  const loudest = Math.max(...coils.map(({ coil, at }) => coil.sensitivity * at.level));
  const colour = colourOf(view.value.heard);
  const step = reach > 45 * mm ? 20 * mm : 10 * mm;
  const ticks = Array.from(
    { length: 2 * Math.floor(reach / step) + 1 },
    (_, i) => (i - Math.floor(reach / step)) * step,
  );
  return html`<svg class="aperture" viewBox="0 0 ${width} ${height}" role="img" aria-label=${words.apertureDrawing}>
    <line x1="0" x2=${width} y1="12" y2="12" stroke="var(--ink)" stroke-width="2" />
    <line x1="0" x2=${width} y1=${base} y2=${base} stroke="var(--hairline)" />
    ${ticks.map(
      u => svg`<line x1=${x(u)} x2=${x(u)} y1=${base} y2=${base + 5} stroke="var(--soft)" />
        <text x=${x(u)} y=${base + 19} text-anchor="middle">${Math.round(Math.abs(u) / mm)}</text>`,
    )}
    ${coils.map(({ coil, at }) => {
      const centre = at.x - middle;
      const scale = (coil.sensitivity * at.level) / loudest;
      let d = '';
      for (let i = 0; i <= 160; i++) {
        const u = -reach + (2 * reach * i) / 160;
        const s = scale * windowSensitivity(coil.window, at.field, u - centre);
        d += `${i ? 'L' : 'M'}${x(u).toFixed(1)} ${(base - s * (base - 22)).toFixed(1)}`;
      }
      const half = windowExtent(coil.window, at.field) / 2;
      return svg`<path d=${d} fill="none" stroke=${colour} stroke-width="1.75" opacity=${used.has(coil) ? 1 : 0.35} />
        <line x1=${x(centre)} x2=${x(centre)} y1="12" y2=${base} stroke=${colour} stroke-dasharray="2 3" opacity="0.7" />
        <line x1=${x(centre - half)} x2=${x(centre + half)} y1=${base - scale * 0.5 * (base - 22)} y2=${base - scale * 0.5 * (base - 22)}
          stroke="var(--ink)" stroke-width="1" />`;
    })}
  </svg>`;
}

export function apertureFields(): TemplateResult {
  const build = heard.value;
  const pickup = heardPickup.value;
  const string = stringIndex.value;
  const { units } = view.value;
  const at = pickupPointer(build, pickup.id);
  const name = build.instrument.strings[string].name;
  const corner = apertureCorner(build, pickup, string);
  const same = alike(pickup.coils);
  const [first, second] = pickup.coils;
  const pair = pickup.coils.length === 2 && pickup.kind !== 'stacked';
  const spacing = pair ? Math.abs(first.along - second.along) : 0;
  return html`
    ${pickupChoice()}
    <section class="fields">
      ${
        same
          ? windowFields(pickup, first, pickup.id, () => true)
          : pickup.coils.map(
              coil => html`<h3 style="grid-column:1/-1">${words.coil(coil.id)}</h3>
                ${windowFields(pickup, coil, `${pickup.id}.${coil.id}`, c => c.id === coil.id)}`,
            )
      }
      ${
        pair
          ? quantityField(
              words.spacing,
              'length',
              spacing,
              [0, 80 * mm],
              (value, gesture) =>
                editHeard(
                  words.changeStep(words.spacing),
                  b => setSpacing(b, pickup.id, value),
                  `${pickup.id} ${gesture}`,
                ),
              { step: 0.5 * mm },
            )
          : nothing
      }
    </section>
    ${drawing(build, pickup, string)}
    <p class="small">
      ${opposed(build, pickup.id, string) ? words.apertureOpposed(name) : corner === null ? words.apertureOpen(name) : words.apertureCorner(modelledText(frequencyText(corner)), name)}
      ${words.extent(
        modelledText(
          formatQuantity(windowExtent(first.window, coilOnString(build, pickup, first, string).field), 'length', units),
        ),
      )}
    </p>
    ${
      pickup.coils.length > 1
        ? html`<details>
            <summary>${words.eachCoil}</summary>
            ${pickup.coils.map(
              (coil, i) => html`<div class="item">
                <h3>${words.coil(coil.id)}</h3>
                <div class="fields">
                  ${quantityAt(`${at}/coils/${i}/along`, words.along, 'length', 'along', { step: 0.5 * mm })}
                  ${windowFields(pickup, coil, `${pickup.id}.${coil.id} own`, c => c.id === coil.id)}
                </div>
              </div>`,
            )}
          </details>`
        : nothing
    }
  `;
}
