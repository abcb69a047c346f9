/** Styles that every element of the page shares: controls, focus, tables, words only for screen readers. */
import { css } from 'lit';

export const shared = css`
  :host { box-sizing: border-box; display: block; color: var(--ink); font-family: var(--ui); }
  :host([hidden]) { display: none; }
  *, *::before, *::after { box-sizing: inherit; }
  h2, h3, p { margin: 0; }
  h2 { font: 600 0.8rem var(--ui); letter-spacing: 0.08em; text-transform: uppercase; color: var(--soft); }
  h3 { font: 600 1.05rem var(--narrow); }
  .narrow { font-family: var(--narrow); }
  .soft { color: var(--soft); }
  .small { font-size: 0.85rem; }
  .panel { background: var(--panel); border: 1px solid var(--hairline); }
  .number, td, output { font-variant-numeric: tabular-nums; }
  button, select, input { font: inherit; color: inherit; }
  button, select {
    background: none; border: 1px solid var(--hairline); border-radius: 0; padding: 0.3rem 0.65rem; min-height: 2.1rem;
    cursor: pointer;
  }
  select { background: var(--field); }
  button.plain { border-color: transparent; }
  button:hover:not(:disabled), select:hover { border-color: var(--ink); }
  button:disabled { color: var(--faint); cursor: default; }
  button[aria-pressed='true'], button[aria-selected='true'] { border-color: var(--ink); box-shadow: inset 0 -3px 0 var(--ink); }
  input[type='checkbox'] { accent-color: var(--ink); width: 1rem; height: 1rem; margin: 0; }
  label.check { display: inline-flex; align-items: center; gap: 0.4rem; cursor: pointer; min-height: 1.6rem; }
  :focus-visible { outline: 2.5px solid var(--ink); outline-offset: 2px; }
  table { border-collapse: collapse; width: 100%; font-size: 0.9rem; }
  th { text-align: left; font-weight: 500; color: var(--soft); font-family: var(--narrow); }
  th, td { padding: 0.18rem 0.6rem 0.18rem 0; vertical-align: baseline; }
  .reader {
    position: absolute; width: 1px; height: 1px; margin: -1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap;
  }
  /* colours that a person chose replace ours, shadows go: what is on is filled */
  @media (forced-colors: active) {
    button[aria-pressed='true'], button[aria-selected='true'] {
      forced-color-adjust: none; background: Highlight !important; color: HighlightText !important; border-color: Highlight !important;
    }
  }
  @media (pointer: coarse) { button, select { min-height: 44px; min-width: 44px; } }
  @media (prefers-reduced-motion: no-preference) { button { transition: border-color 80ms; } }
`;
