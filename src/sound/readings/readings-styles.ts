/** Styles of the readings. */
import { css } from 'lit';

export const readingsStyles = css`
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
    :host([compact]) .head { padding-right: 12.4rem; }
    :host([compact]) [role='tab'] { padding-inline: 0.3rem; }
    :host([compact]) [role='tablist'] { gap: 0; scrollbar-width: none; }
    :host([compact]) [role='tab'], :host([compact]) .away button { font-family: var(--narrow); }
    :host([compact]) .away button { padding-inline: 0.3rem; }
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
`;

export const keyFiguresStyles = css`
  :host { container-type: inline-size; }
  .scroll { overflow-x: auto; position: relative; }
  .scroll:focus-visible { outline-offset: -2px; }
  table { min-width: 42rem; }
  th, td { white-space: nowrap; }
  thead th { border-bottom: 1px solid var(--hairline); padding-bottom: 0.1rem; font-size: 0.85rem; }
  tbody th { font-weight: 600; font-family: var(--ui); }
  .difference th, .difference td { color: var(--soft); }
  .named { font-weight: 400; display: inline-block; max-width: 13rem; white-space: normal; vertical-align: top; line-height: 1.15; }
  td.dips { white-space: normal; min-width: 11rem; }
  td.dips > span { white-space: nowrap; }
  thead th { white-space: normal; vertical-align: bottom; }
  .partial { color: var(--soft); font-size: 0.85em; }
  .meanings { font-size: 0.88rem; margin-top: 0.25rem; }
  .meanings dl { display: grid; grid-template-columns: max-content minmax(0, 1fr); gap: 0.1rem 0.8rem; margin: 0.3rem 0; }
  .meanings dt { font-weight: 600; }
  .meanings dd { margin: 0; }
  .below { display: flex; gap: 0.2rem 1rem; align-items: baseline; flex-wrap: wrap; margin-top: 0.25rem; }
  .notes { flex: 1 1 18rem; font-size: 0.88rem; }
  .below .keep { white-space: nowrap; }
  button { min-height: 1.7rem; padding: 0.1rem 0.5rem; font-size: 0.85rem; }
  @container (max-width: 42rem) {
    table { min-width: 0; }
    th, td { padding-right: 0.4rem; }
    .named { max-width: 6.5rem; font-size: 0.9em; }
    td.dips { min-width: 9rem; }
  }
  @container (max-width: 30rem) {
    /* which build it is stays in sight while the row is swiped */
    th:first-child { position: sticky; left: 0; background: var(--panel); box-shadow: 1px 0 0 var(--hairline); }
    .named { max-width: 5rem; }
  }
  @media (pointer: coarse) { button { min-height: 44px; } }
  @media print { button { display: none; } }
`;
