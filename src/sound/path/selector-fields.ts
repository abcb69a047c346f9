/** The selector: its positions, what each connects, ready wirings, and why the selected one is silent. */
import { html, nothing, type TemplateResult } from 'lit';
import { schemesFor, wire } from '../../../shared/circuit/schemes.ts';
import { silence } from '../../../shared/circuit/silence.ts';
import { placeMeaning } from '../../../shared/circuit/solder-places.ts';
import { type Build, type Harness, MOST, type Position, type Tap } from '../../../shared/document/build.ts';
import { addPosition, connect, movePosition, removePosition, setTap } from '../../../shared/document/edits/selector.ts';
import { applyScheme } from '../../../shared/document/edits/wiring.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { editHeard, heard } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { selectPosition } from './edits.ts';
import { checkField, choiceAt, choiceField, choicesOf, itemTools, textAt } from './fields.ts';
import { PART_KIND } from './harness-fields.ts';

/** Every position as a button, the selected one pressed. */
export function selectorButtons(): TemplateResult {
  const { positions, selected } = heard.value.harness;
  return html`<div class="row positions" role="group" aria-label=${words.selector}>
    ${positions.map(
      ({ label }, i) => html`<button aria-pressed=${i === selected} @click=${() => selectPosition(i)}>
        <span class="soft">${i + 1}</span> ${label}
      </button>`,
    )}
  </div>`;
}

/** Why the selected position is silent, naming the part; nothing while it sounds. */
export function silenceNotice(): TemplateResult {
  const build = heard.value;
  const cause = silence(build);
  if (!cause) return html`${nothing}`;
  const { harness } = build;
  if (cause.kind === 'open') return html`<p class="wrong" role="status">${words.silentOpen}</p>`;
  if (cause.kind === 'volume') {
    const { pickup } = harness.controls[cause.index];
    const name = words.controlOf(build.pickups.find(p => p.id === pickup)?.name ?? null);
    return html`<p class="wrong" role="status">${words.silentVolume(name)}</p>`;
  }
  const part = harness.fixed[cause.index];
  const value = formatQuantity(part.value, PART_KIND[part.kind]);
  return html`<p class="wrong" role="status">${words.silentPart(
    `${words.fixedKinds[part.kind]} ${value}`,
    placeMeaning(build, part.from),
    placeMeaning(build, part.to),
  )}</p>`;
}

/** Text of a harness without what is turned and chosen while playing: equal texts are the same wiring. */
const wiringText = ({ positions }: Harness): string => JSON.stringify(positions);

function schemes(build: Build): TemplateResult {
  const fitting = schemesFor(build.pickups);
  const now = wiringText(build.harness);
  const current = fitting.find(s => wiringText(wire(build.pickups, s.id, build.outputs).harness) === now);
  const options: [string, string][] = fitting.map(s => [s.id, s.name]);
  if (!current) options.unshift(['', words.ownScheme]);
  return choiceField('scheme', words.scheme, current?.id ?? '', options, id => {
    if (id === '') return;
    const name = fitting.find(s => s.id === id)?.name ?? id;
    editHeard(words.schemeStep(name), b => applyScheme(b, id));
  });
}

function tapFields(build: Build, p: number, tap: Tap, t: number): TemplateResult {
  const pickup = build.pickups.find(x => x.id === tap.pickup);
  if (!pickup) return html`${nothing}`;
  const at = `/harness/positions/${p}/taps/${t}`;
  const ids = pickup.coils.map(c => c.id);
  const used = tap.coils ?? ids;
  const many = used.length > 1;
  const change = (step: string, how: Partial<Omit<Tap, 'pickup'>>) => editHeard(step, b => setTap(b, p, t, how));
  return html`<div class="row tap">
    ${
      ids.length > 1
        ? html`<span class="row" role="group" aria-label="${pickup.name}: ${words.coilsUsed}">
            ${ids.map(coil =>
              checkField(
                coil,
                used.includes(coil),
                on => {
                  const next = on ? ids.filter(c => c === coil || used.includes(c)) : used.filter(c => c !== coil);
                  change(words.coilsStep(pickup.name), { coils: next.length === ids.length ? null : next });
                },
                // the last coil goes with its pickup
                !many && used.includes(coil),
              ),
            )}
          </span>`
        : nothing
    }
    ${
      many
        ? html`${choiceField(`${at}/join`, words.coilJoin, tap.join, choicesOf(words.joins), join =>
            change(words.coilJoinStep(pickup.name), { join }),
          )}
          ${checkField(words.antiphase, tap.antiphase, on => change(words.antiphaseStep(pickup.name, on), { antiphase: on }))}`
        : nothing
    }
    ${checkField(words.reverse, tap.reverse, on => change(words.reverseStep(pickup.name, on), { reverse: on }))}
    ${
      build.outputs.length > 1
        ? choiceField(
            `${at}/output`,
            words.output,
            tap.output,
            build.outputs.map(o => [o.id, o.name] as const),
            output => change(words.outputStep(pickup.name), { output }),
          )
        : nothing
    }
  </div>`;
}

function positionFields(build: Build, position: Position, p: number): TemplateResult {
  const { positions } = build.harness;
  return html`<div class="item">
    <div class="row end">
      <span class="soft">${p + 1}</span>
      <span class="grow">${textAt(`/harness/positions/${p}/label`, words.positionLabel, 40, words.labelStep(p + 1))}</span>
      ${
        position.taps.length > 1
          ? choiceAt<Position['join']>(
              `/harness/positions/${p}/join`,
              words.positionJoin,
              choicesOf(words.joins),
              words.joinStep(p + 1),
            )
          : nothing
      }
      ${itemTools(
        `${words.positionColumns.position} ${p + 1}`,
        p,
        positions.length,
        by => editHeard(words.movePosition(position.label), b => movePosition(b, p, by)),
        positions.length > 1 ? () => editHeard(words.removePosition(position.label), b => removePosition(b, p)) : null,
      )}
    </div>
    ${build.pickups.map(pickup => {
      const taps = position.taps.map((tap, t) => ({ tap, t })).filter(({ tap }) => tap.pickup === pickup.id);
      return html`<div>
        ${checkField(pickup.name, taps.length > 0, on =>
          editHeard(on ? words.connectStep(pickup.name) : words.disconnectStep(pickup.name), b =>
            connect(b, p, pickup.id, on),
          ),
        )}
        ${taps.map(({ tap, t }) => tapFields(build, p, tap, t))}
      </div>`;
    })}
  </div>`;
}

/** What every position connects, and more of them. */
export function positionsEditor(): TemplateResult {
  const build = heard.value;
  const { positions } = build.harness;
  return html`<details>
    <summary>${words.editPositions}</summary>
    ${schemes(build)}
    ${positions.map((position, p) => positionFields(build, position, p))}
    ${
      positions.length < MOST.positions
        ? html`<div class="row item">
            <button @click=${() =>
              editHeard(words.addPosition.toLowerCase(), b =>
                addPosition(b, words.newPosition(positions.length + 1)),
              )}>${words.addPosition}</button>
          </div>`
        : nothing
    }
  </details>`;
}
