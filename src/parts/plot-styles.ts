/** How the plot and its table look. */
import { css } from 'lit';

export const plotStyles = css`
  :host { position: relative; min-block-size: 0; }
  .sheet { position: relative; block-size: 100%; touch-action: pan-y; cursor: crosshair; }
  svg { position: absolute; inset: 0; display: block; user-select: none; -webkit-user-select: none; }
  text { fill: var(--soft); font-family: var(--ui); font-size: 0.8rem; font-variant-numeric: tabular-nums; }
  .label { font-size: 1rem; font-weight: 600; }
  .halo { paint-order: stroke; stroke: var(--panel); stroke-width: 4px; stroke-linejoin: round; }
  .ruling { stroke: var(--grid-strong); stroke-width: 1; fill: none; }
  .ruling.fine { stroke: var(--grid); }
  .zero { stroke: var(--hairline); stroke-width: 1; fill: none; }
  .frame { stroke: var(--hairline); stroke-width: 1; fill: none; }
  .curve { fill: none; stroke-width: 2; stroke-linejoin: round; }
  .curve.quiet { stroke-width: 1; stroke-opacity: 0.5; }
  .bars { stroke-width: 1; fill-opacity: 0.3; }
  .tint { fill: var(--safe); fill-opacity: 0.13; }
  .hatch { fill: var(--field); fill-opacity: 0.8; stroke: none; }
  .mark { stroke-width: 1.5; fill: none; }
  .cursor { stroke: var(--ink); stroke-width: 1.5; stroke-dasharray: 2 3; fill: none; }
  .box { fill: var(--panel); stroke: var(--hairline); stroke-width: 1; }
  .box-text { fill: var(--ink); font-size: 0.87rem; font-weight: 500; }
  .dot { stroke: var(--panel); stroke-width: 1.5; }
  .scroll { overflow: auto; block-size: 100%; }
  .scroll table { width: auto; min-width: 60%; }
  .scroll thead th { position: sticky; top: 0; background: var(--panel); }
  .scroll td, .scroll th { text-align: right; white-space: nowrap; padding: 0.12rem 0.9rem 0.12rem 0; }
  .scroll th:first-child { text-align: left; }
  @media (forced-colors: active) {
    svg { forced-color-adjust: none; }
    text, .box-text { fill: CanvasText; }
    .halo, .dot { stroke: Canvas; }
    .box { fill: Canvas; stroke: CanvasText; }
    .ruling, .zero, .frame { stroke: GrayText; }
    .curve, .mark, .cursor { stroke: CanvasText !important; }
    .bars { stroke: CanvasText !important; fill: none !important; }
  }
  @media print { .scroll { overflow: visible; } }
`;
