/** The harness: selector positions and what each connects, ready wirings, blend, fixed parts, outputs. */
import { html, nothing, type TemplateResult } from 'lit';
import { nodeNames } from '../../../shared/circuit/harness.ts';
import { schemesFor, wire } from '../../../shared/circuit/schemes.ts';
import { silence } from '../../../shared/circuit/silence.ts';
import type { Build, Fixed, Harness, Position, Tap } from '../../../shared/document/build.ts';
import { freeId, moved, withHarness } from '../../../shared/document/edits/changes.ts';
import { formatQuantity } from '../../../shared/units.ts';
import { editHeard, heard } from '../../state/page.ts';
import { words } from '../../words/path-words.ts';
import { settingRuler } from './control-fields.ts';
import { editAt, selectPosition } from './edits.ts';
import { checkField, choiceAt, choiceField, itemTools, quantityAt, textAt } from './fields.ts';
import { wholeTap } from './pickup-list.ts';

const editHarness = (step: string, change: (harness: Harness) => Harness) =>
  editHeard(step, b => withHarness(b, change));

const editPosition = (step: string, index: number, change: (position: Position) => Position) =>
  editHarness(step, h => ({ ...h, positions: h.positions.map((p, i) => (i === index ? change(p) : p)) }));

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
  const place = (node: string) => nodeNames(build).find(n => n.name === node)?.meaning ?? node;
  const value = formatQuantity(part.value, FIXED_KIND[part.kind]);
  return html`<p class="wrong" role="status">${words.silentPart(
    `${words.fixedKinds[part.kind]} ${value}`,
    place(part.from),
    place(part.to),
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
    editHeard(words.schemeStep(name), b => ({ ...b, ...wire(b.pickups, id, b.outputs) }));
  });
}

function tapFields(build: Build, p: number, tap: Tap, t: number): TemplateResult {
  const pickup = build.pickups.find(x => x.id === tap.pickup);
  if (!pickup) return html`${nothing}`;
  const at = `/harness/positions/${p}/taps/${t}`;
  const ids = pickup.coils.map(c => c.id);
  const used = tap.coils ?? ids;
  const many = used.length > 1;
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
                  editAt(words.coilsStep(pickup.name), `${at}/coils`, next.length === ids.length ? null : next);
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
        ? html`${choiceAt<Tap['join']>(
            `${at}/join`,
            words.coilJoin,
            [
              ['series', words.joins.series],
              ['parallel', words.joins.parallel],
            ],
            words.coilJoinStep(pickup.name),
          )}
          ${checkField(words.antiphase, tap.antiphase, on => editAt(words.antiphaseStep(pickup.name, on), `${at}/antiphase`, on))}`
        : nothing
    }
    ${checkField(words.reverse, tap.reverse, on => editAt(words.reverseStep(pickup.name, on), `${at}/reverse`, on))}
    ${
      build.outputs.length > 1
        ? choiceAt(
            `${at}/output`,
            words.output,
            build.outputs.map(o => [o.id, o.name] as const),
            words.outputStep(pickup.name),
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
              [
                ['parallel', words.joins.parallel],
                ['series', words.joins.series],
              ],
              words.joinStep(p + 1),
            )
          : nothing
      }
      ${itemTools(
        `${words.positionColumns.position} ${p + 1}`,
        p,
        positions.length,
        by =>
          editHarness(words.movePosition(position.label), h => ({
            ...h,
            positions: moved(h.positions, p, by),
            selected: h.selected === p ? p + by : h.selected === p + by ? p : h.selected,
          })),
        positions.length > 1
          ? () =>
              editHarness(words.removePosition(position.label), h => {
                const kept = h.positions.filter((_, i) => i !== p);
                const selected = h.selected > p ? h.selected - 1 : Math.min(h.selected, kept.length - 1);
                return { ...h, positions: kept, selected };
              })
          : null,
      )}
    </div>
    ${build.pickups.map(pickup => {
      const taps = position.taps.map((tap, t) => ({ tap, t })).filter(({ tap }) => tap.pickup === pickup.id);
      return html`<div>
        ${checkField(pickup.name, taps.length > 0, on =>
          editPosition(on ? words.connectStep(pickup.name) : words.disconnectStep(pickup.name), p, q => ({
            ...q,
            taps: on
              ? [...q.taps, wholeTap(pickup.id, build.outputs[0].id)].slice(0, 8)
              : q.taps.filter(x => x.pickup !== pickup.id),
          })),
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
      positions.length < 24
        ? html`<div class="row item">
            <button @click=${() =>
              editHarness(words.addPosition.toLowerCase(), h => ({
                ...h,
                positions: [
                  ...h.positions,
                  {
                    label: words.newPosition(h.positions.length + 1),
                    join: 'parallel',
                    taps: [wholeTap(build.pickups[0].id, build.outputs[0].id)],
                  },
                ],
                selected: h.positions.length,
              }))}>${words.addPosition}</button>
          </div>`
        : nothing
    }
  </details>`;
}

function blendFields(build: Build): TemplateResult {
  const { blend } = build.harness;
  if (build.pickups.length < 2 && !blend) return html`${nothing}`;
  const pickups = build.pickups.map(p => [p.id, p.name] as const);
  return html`<div class="item">
    ${checkField(words.blend, blend !== null, on =>
      editAt(
        on ? words.addBlend : words.removeBlend,
        '/harness/blend',
        on
          ? {
              value: 250e3,
              deviation: 0,
              taper: 'linear',
              setting: 0.5,
              gangs: 'two',
              from: build.pickups[0].id,
              to: build.pickups[1].id,
            }
          : null,
      ),
    )}
    ${
      blend
        ? html`${settingRuler(words.blend, '/harness/blend/setting', blend.setting)}
            <div class="fields">
              ${quantityAt('/harness/blend/value', words.pot, 'resistance', 'pot', { step: 10e3 })}
              ${choiceAt(
                '/harness/blend/gangs',
                words.gangs,
                [
                  ['one', words.gangKinds.one],
                  ['two', words.gangKinds.two],
                ],
                words.gangsStep,
              )}
              ${choiceAt(
                '/harness/blend/from',
                words.blendFrom,
                pickups.filter(([id]) => id !== blend.to),
                words.blendStep,
              )}
              ${choiceAt(
                '/harness/blend/to',
                words.blendTo,
                pickups.filter(([id]) => id !== blend.from),
                words.blendStep,
              )}
            </div>`
        : nothing
    }
  </div>`;
}

const FIXED_VALUE: Record<Fixed['kind'], number> = { resistor: 220e3, capacitor: 1e-9, inductor: 1 };
const FIXED_RANGE = {
  resistor: 'fixedResistance',
  capacitor: 'fixedCapacitance',
  inductor: 'fixedInductance',
} as const;
const FIXED_KIND = { resistor: 'resistance', capacitor: 'capacitance', inductor: 'inductance' } as const;

function fixedFields(build: Build): TemplateResult {
  const nodes = nodeNames(build).map(n => [n.name, n.meaning] as const);
  const { fixed } = build.harness;
  return html`<div class="item">
    ${fixed.map((part, i) => {
      const at = `/harness/fixed/${i}`;
      const name = words.fixedKinds[part.kind];
      return html`<div class="item">
        <div class="row end">
          <span class="grow">${quantityAt(`${at}/value`, name, FIXED_KIND[part.kind], FIXED_RANGE[part.kind])}</span>
          ${itemTools(
            name,
            i,
            1,
            () => undefined,
            () =>
              editHarness(`${words.remove.toLowerCase()} ${name}`, h => ({
                ...h,
                fixed: h.fixed.filter((_, j) => j !== i),
              })),
          )}
        </div>
        <div class="fields wide">
          ${choiceAt(`${at}/from`, words.from, nodes, words.solderStep(name))}
          ${choiceAt(`${at}/to`, words.to, nodes, words.solderStep(name))}
        </div>
      </div>`;
    })}
    <div class="row" role="group" aria-label=${words.fixed}>
      ${(['resistor', 'capacitor', 'inductor'] as const).map(
        kind =>
          html`<button ?disabled=${fixed.length >= 24} @click=${() =>
            editHarness(`${words.add.toLowerCase()} ${words.fixedKinds[kind]}`, h => ({
              ...h,
              fixed: [
                ...h.fixed,
                {
                  id: freeId(
                    kind,
                    h.fixed.map(f => f.id),
                  ),
                  kind,
                  value: FIXED_VALUE[kind],
                  from: 'hot',
                  to: 'ground',
                },
              ],
            }))}>+ ${words.fixedKinds[kind]}</button>`,
      )}
    </div>
  </div>`;
}

function stereoField(build: Build): TemplateResult {
  return html`<div class="item">
    ${checkField(words.stereo, build.outputs.length > 1, on =>
      editHeard(on ? words.stereoStep : words.monoStep, b => {
        const [first] = b.outputs;
        if (on)
          return { ...b, outputs: [first, { ...first, id: freeId('out-2', [first.id]), name: words.secondOutput }] };
        const own = new Set(b.harness.controls.filter(c => c.pickup === null && c.output !== first.id).map(c => c.id));
        return {
          ...b,
          outputs: [first],
          harness: {
            ...b.harness,
            controls: b.harness.controls.filter(c => !own.has(c.id)).map(c => ({ ...c, output: first.id })),
            positions: b.harness.positions.map(p => ({
              ...p,
              taps: p.taps
                .map(t => ({ ...t, output: first.id }))
                .filter(
                  (t, i, all) =>
                    all.findIndex(x => x.pickup === t.pickup && JSON.stringify(x.coils) === JSON.stringify(t.coils)) ===
                    i,
                ),
            })),
            fixed: b.harness.fixed.filter(
              f => ![f.from, f.to].some(n => /-2(\.out)?$/.test(n) || [...own].some(c => n.startsWith(`${c}.`))),
            ),
          },
        };
      }),
    )}
  </div>`;
}

/** Blend, fixed parts and outputs, folded away until one of them is used. */
export function harnessMore(): TemplateResult {
  const build = heard.value;
  const used = build.harness.blend !== null || build.harness.fixed.length > 0 || build.outputs.length > 1;
  return html`<details ?open=${used}>
    <summary>${words.harnessMore}</summary>
    ${blendFields(build)} ${fixedFields(build)} ${stereoField(build)}
  </details>`;
}
