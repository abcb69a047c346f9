import { css } from 'lit';

/** Layout that the forms of the recordings dialog share. */
export const formStyles = css`
  fieldset { border: 0; border-top: 1px solid var(--hairline); margin: 0.8rem 0 0; padding: 0.5rem 0 0; min-width: 0; }
  legend { font: 600 0.95rem var(--narrow); padding: 0 0.6rem 0 0; }
  .row { display: flex; flex-wrap: wrap; gap: 0.5rem 0.9rem; align-items: start; }
  p + .row, .row + .row { margin-top: 0.5rem; }
  .row > button, .row > label.check { margin-top: 1.25rem; min-height: 2.1rem; }
  fieldset > .field select { width: auto; max-width: 100%; justify-self: start; }
  cc-own-take { margin-top: 0.5rem; }
  ul { margin: 0.4rem 0 0; padding-left: 1.2rem; line-height: 1.35; }
  .row > cc-quantity { flex: 0 1 9rem; min-width: 7rem; }
  .field { display: grid; gap: 0.15rem; min-width: 0; }
  .field > span { font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); }
  .field select, .field input { max-width: 100%; min-width: 0; }
  input.text { padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); border: 1px solid var(--hairline); border-radius: 0; }
  p { margin: 0.4rem 0 0; max-width: 46rem; line-height: 1.3; }
  .problem { color: var(--wrong); }
  .warn { border-left: 4px solid var(--warn); padding-left: 0.6rem; }
  cc-plot { height: 13rem; border: 1px solid var(--hairline); margin-top: 0.4rem; }
  .key { display: flex; flex-wrap: wrap; gap: 0.2rem 1.2rem; font-size: 0.85rem; margin-top: 0.4rem; }
  .key svg { width: 2rem; height: 0.6rem; vertical-align: middle; margin-right: 0.35rem; }
  .scroll { overflow-x: auto; }
  .scroll table { width: auto; }
  .scroll td, .scroll th { white-space: nowrap; padding-right: 1.1rem; }
  progress { accent-color: var(--ink); width: 8rem; }
  meter { width: 10rem; height: 1rem; }
  @media (pointer: coarse) { input.text { min-height: 44px; } }
`;
