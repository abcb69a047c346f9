/** What a recording went through before it was recorded, and what of it is undone. */
import { html, nothing } from 'lit';
import { type Build, isVoltage, RANGE, TEST_POINTS, type TestPoint } from '../../shared/document/build.ts';
import { PICKUP_TYPES } from '../../shared/sensor/typical.ts';
import {
  CORNER_RANGE,
  LIFT_RANGE,
  type OwnTake,
  type SmallPickup,
  smallPickup,
  type Through,
  type ThroughKind,
} from '../../shared/take/own/own-take.ts';
import '../parts/quantity.ts';
import type { QuantityDetail } from '../parts/quantity.ts';
import { heard, view, written, writtenHeard } from '../state/page.ts';
import { words } from '../words/recordings-words.ts';

/** Changes what is said about the recording at hand. */
export type Change = (part: Partial<Omit<OwnTake, 'id'>>) => void;

/** Corner of a piezo sensor on a usual guitar input, offered first, Hz. */
const FIRST_CORNER = 40;

/** The way of a kind as it is first offered. */
function firstThrough(kind: ThroughKind): Through {
  const { instrument, pickups } = heard.peek();
  const { heard: letter } = view.peek();
  if (kind === 'pickup') return { kind, pickup: smallPickup(PICKUP_TYPES[0].id, pickups[0].position, instrument) };
  if (kind === 'build')
    return { kind, build: written.peek().find(slot => slot.letter === letter)?.build ?? writtenHeard.peek(), point: 5 };
  return { kind };
}

function smallView(small: SmallPickup, change: Change) {
  const set = (part: Partial<SmallPickup>) => change({ through: { kind: 'pickup', pickup: { ...small, ...part } } });
  const field = (
    key: 'position' | 'resistance' | 'inductance' | 'capacitance' | 'cable' | 'input',
    kind: 'length' | 'resistance' | 'inductance' | 'capacitance',
    range: readonly [number, number],
  ) => html`<cc-quantity
    label=${words[key]}
    kind=${kind}
    units=${view.value.units}
    .value=${small[key]}
    .range=${range}
    @quantity=${(event: CustomEvent<QuantityDetail>) => set({ [key]: event.detail.value })}
  ></cc-quantity>`;
  return html`<div class="row">
    <label class="field">
      <span>${words.pickupKind}</span>
      <select
        @change=${(event: Event) => {
          const type = (event.target as HTMLSelectElement).value;
          const { cable, input } = small;
          set({ ...smallPickup(type, small.position, heard.peek().instrument), cable, input });
        }}
      >
        ${PICKUP_TYPES.map(type => html`<option value=${type.id} ?selected=${type.id === small.type}>${type.name}</option>`)}
      </select>
    </label>
    ${field('position', 'length', RANGE.position)} ${field('resistance', 'resistance', RANGE.resistance)}
    ${field('inductance', 'inductance', RANGE.inductance)} ${field('capacitance', 'capacitance', RANGE.capacitance)}
    ${field('cable', 'capacitance', RANGE.cableTotal)} ${field('input', 'resistance', RANGE.inputResistance)}
  </div>`;
}

function buildView({ build, point }: { build: Build; point: TestPoint }, change: Change) {
  const current = written.value.find(
    slot => slot.build === build || JSON.stringify(slot.build) === JSON.stringify(build),
  );
  return html`<div class="row">
    <label class="field">
      <span>${words.whichBuild}</span>
      <select
        @change=${(event: Event) => {
          const chosen = written.peek().find(slot => slot.letter === (event.target as HTMLSelectElement).value);
          if (chosen) change({ through: { kind: 'build', build: chosen.build, point } });
        }}
      >
        ${current ? nothing : html`<option value="" selected>${words.keptBuild(build.name)}</option>`}
        ${written.value.map(
          slot =>
            html`<option value=${slot.letter} ?selected=${slot === current}>${slot.letter}, ${slot.build.name}</option>`,
        )}
      </select>
    </label>
    <label class="field">
      <span>${words.point}</span>
      <select
        @change=${(event: Event) => {
          const to = Number((event.target as HTMLSelectElement).value) as TestPoint;
          change({ through: { kind: 'build', build, point: to } });
        }}
      >
        ${TEST_POINTS.filter(isVoltage).map(p => html`<option value=${p} ?selected=${p === point}>${words.points[p]}</option>`)}
      </select>
    </label>
  </div>`;
}

export function throughView(take: OwnTake, change: Change) {
  const { through, corner } = take;
  const undoes = through.kind === 'pickup' || through.kind === 'build' || corner !== null;
  return html`<fieldset>
    <legend>${words.through}</legend>
    <label class="field">
      <span class="reader">${words.through}</span>
      <select
        class="through"
        @change=${(event: Event) => change({ through: firstThrough((event.target as HTMLSelectElement).value as ThroughKind) })}
      >
        ${(Object.keys(words.throughKinds) as ThroughKind[]).map(
          kind => html`<option value=${kind} ?selected=${kind === through.kind}>${words.throughKinds[kind]}</option>`,
        )}
      </select>
    </label>
    <p class="small soft">${words.throughNotes[through.kind]}</p>
    ${through.kind === 'pickup' ? smallView(through.pickup, change) : nothing}
    ${through.kind === 'build' ? buildView(through, change) : nothing}
    <div class="row">
      <label class="check">
        <input
          type="checkbox"
          .checked=${corner !== null}
          @change=${() => change({ corner: corner === null ? FIRST_CORNER : null })}
        />${words.cornerKnown}
      </label>
      ${
        corner === null
          ? nothing
          : html`<cc-quantity
              label=${words.corner}
              kind="frequency"
              .value=${corner}
              .range=${CORNER_RANGE}
              @quantity=${(event: CustomEvent<QuantityDetail>) => change({ corner: event.detail.value })}
            ></cc-quantity>`
      }
      ${
        undoes
          ? html`<cc-quantity
              label=${words.lift}
              kind="level"
              hint=${words.liftHint}
              .value=${take.maximumLift}
              .range=${LIFT_RANGE}
              .step=${1}
              @quantity=${(event: CustomEvent<QuantityDetail>) => change({ maximumLift: event.detail.value })}
            ></cc-quantity>`
          : nothing
      }
    </div>
  </fieldset>`;
}
