/** How the plan is drawn: strings, frets, pickups, dimension lines and what moves. */
import { css } from 'lit';

export const planStyles = css`
  header { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0.1rem 1.2rem; }
  cc-wave-choice { margin-left: auto; }
  .scale-note { flex: 1 1 auto; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); }
  .sheet { display: flex; }
  .gutter { flex: none; display: block; }
  .scroller { flex: 1 1 0; min-width: 0; overflow-x: auto; overflow-y: hidden; scrollbar-width: thin; }
  .scroller:focus-visible { outline-offset: -2px; }
  .drawing { display: block; }
  svg text { font: 500 0.83rem var(--narrow); fill: var(--soft); font-variant-numeric: tabular-nums; }
  svg .saddle-line { stroke: var(--ink); stroke-width: 2; }
  svg .saddle-word { font-size: 0.8rem; }
  .string { stroke: var(--soft); }
  .string.chosen { stroke: var(--ink); }
  .own-saddle { fill: var(--ink); }
  .string-hit { stroke: transparent; stroke-width: 13; cursor: pointer; }
  .name { cursor: pointer; outline: none; }
  .name text { fill: var(--soft); }
  .name .box { fill: transparent; stroke: none; }
  .name[aria-checked='true'] text { fill: var(--ink); font-weight: 600; }
  .name[aria-checked='true'] .box { stroke: var(--ink); stroke-width: 1.5; }
  .name:focus-visible .box { stroke: var(--ink); stroke-width: 3; }
  .fretboard { fill: var(--panel); fill-opacity: 0.75; stroke: var(--hairline); }
  .fret { fill: none; stroke: var(--hairline); stroke-width: 1.2; }
  .fret.chosen { stroke: var(--safe); stroke-width: 2; }
  .fret-hit { fill: none; stroke: transparent; stroke-width: 9; cursor: pointer; }
  .nut { fill: none; stroke: var(--ink); stroke-width: 3; }
  svg .fret-number { font-size: 0.76rem; }
  svg .fret-number.chosen { fill: var(--safe); font-weight: 600; }
  .wave { fill: none; stroke: var(--safe); stroke-width: 1.8; stroke-dasharray: 1.5 3.5; stroke-linecap: round; pointer-events: none; }
  .node { fill: var(--paper); stroke: var(--safe); stroke-width: 1.4; pointer-events: none; }
  .node.over { fill: var(--safe); stroke: var(--paper); }
  .stop { fill: var(--safe); pointer-events: none; }
  .pickup { outline: none; color: var(--build); }
  .pickup .sensed { fill: var(--build); fill-opacity: 0.09; stroke: none; }
  .pickup .coil { fill: var(--build); fill-opacity: 0.03; stroke: var(--build); stroke-width: 1.2; stroke-dasharray: var(--dash); }
  .pickup .coil.below { fill: none; stroke-dasharray: 3 3; }
  .pickup .pole { fill: none; stroke: var(--build); stroke-width: 1; }
  .pickup .rail { stroke: var(--build); stroke-width: 2; }
  .pickup .hit { fill: transparent; stroke: none; }
  .pickup .ring { fill: none; stroke: none; pointer-events: none; }
  .pickup.other { cursor: pointer; opacity: 0.75; }
  .pickup.other:hover { opacity: 1; }
  .pickup.heard { cursor: ew-resize; touch-action: none; }
  .pickup.heard .sensed { fill-opacity: 0.16; }
  .pickup.heard .coil { fill-opacity: 0.08; stroke-width: 1.9; }
  .pickup.heard .pole { stroke-width: 1.6; }
  .pickup.selected .ring { stroke: var(--ink); stroke-width: 1.2; }
  .pickup:focus-visible .ring { stroke: var(--ink); stroke-width: 3; }
  .pickup.odd .ring { stroke: var(--warn); stroke-width: 1.6; stroke-dasharray: 6 3; }
  .odd-note { font-size: 0.9rem; color: var(--warn); }
  .slant { outline: none; cursor: grab; touch-action: none; }
  .slant .dot { fill: var(--panel); stroke: var(--ink); stroke-width: 1.6; }
  .slant .hit { fill: transparent; }
  .slant:focus-visible .dot { stroke-width: 4; }
  svg .tag { fill: var(--build); font-weight: 500; paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
  svg .tag.heard { font-weight: 600; font-size: 0.9rem; }
  .dimension, .witness { fill: none; stroke: var(--build); stroke-width: 1.2; }
  .witness { stroke-width: 0.7; opacity: 0.6; }
  .arrow { fill: var(--build); }
  svg .dimension-number { fill: var(--build); font-weight: 600; }
  .pluck { outline: none; cursor: ew-resize; touch-action: none; }
  .pluck .line { stroke: var(--safe); stroke-width: 1.2; stroke-dasharray: 5 3; }
  .pluck .mark { fill: var(--safe); stroke: var(--safe); stroke-width: 1.5; }
  .pluck.scores .mark { fill: var(--paper); }
  .pluck.scores .line { stroke-width: 0.9; stroke-dasharray: 2 5; }
  .pluck .band { fill: var(--safe); fill-opacity: 0.06; pointer-events: none; }
  .pluck .hit { fill: transparent; }
  .pluck:focus-visible .mark { stroke: var(--ink); stroke-width: 3; }
  svg .pluck text { fill: var(--safe); paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
  .below { display: flex; flex-wrap: wrap; align-items: start; gap: 0.2rem 1.4rem; margin-top: 0.15rem; }
  @media screen {
    :host([compact]) { display: flex; flex-direction: column; }
    :host([compact]) header { display: contents; }
    :host([compact]) h2, :host([compact]) .scale-note { display: none; }
    :host([compact]) cc-pickup-fields { flex: none; }
    :host([compact]) cc-wave-choice { order: 3; margin: 0; position: relative; width: fit-content; }
    :host([compact]) .odd-note { order: 5; }
    :host([compact]) .below { order: 4; margin-top: -1.6rem; justify-content: flex-end; }
    :host([compact]) .below:has([open]) { margin-top: 0; }
    :host([compact]) .sheet { margin-top: -0.4rem; }
  }
  @media (max-width: 600px) {
    /* the drawing first, what is typed below it */
    :host { display: flex; flex-direction: column; }
    header { display: contents; }
    cc-wave-choice { margin-left: 0; }
    .sheet { order: 1; }
    header cc-pickup-fields { order: 2; flex: none; }
    .odd-note { order: 1; }
    .below { order: 3; }
  }
  cc-pickup-fields { flex: 1 1 30rem; min-width: 0; }
  cc-plan-data { flex: 0 1 auto; min-width: 0; }
  cc-plan-data[open] { flex: 1 0 100%; }
  @media (forced-colors: active) {
    .pickup .coil, .pickup .pole, .dimension, .wave { stroke: CanvasText; }
    .pickup.selected .ring, .name[aria-checked='true'] .box { stroke: Highlight; }
  }
`;
