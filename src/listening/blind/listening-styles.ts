import { css } from 'lit';

/** Layout of the listening tests. */
export const listeningStyles = css`
  dialog { width: min(40rem, calc(100vw - 1.5rem)); }
  /* while a test runs the page behind, with its meters and curves, is out of sight */
  dialog.blind::backdrop { background: var(--paper); }
  .body { display: grid; gap: 0.8rem; grid-template-columns: minmax(0, 1fr); }
  .trial:focus, .outcome:focus { outline: none; }
  .kinds { display: flex; flex-wrap: wrap; gap: 0.3rem 1.4rem; }
  .kinds label { font-weight: 600; }
  .row { display: flex; flex-wrap: wrap; gap: 0.5rem 1rem; align-items: end; }
  .row > p { flex: 1 1 12rem; align-self: center; }
  .row label:not(.check) { display: grid; gap: 0.15rem; min-width: 0; }
  .row label select { max-width: min(15rem, 100%); }
  .row fieldset { display: grid; gap: 0.1rem; }
  input[type='number'] { width: 5rem; padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); border: 1px solid var(--hairline); }
  .link { overflow-wrap: anywhere; }
  .count { font: 600 1.05rem var(--ui); }
  progress { width: 100%; height: 0.4rem; accent-color: var(--ink); }
  .hears { display: grid; grid-auto-flow: column; grid-auto-columns: minmax(0, 1fr); gap: 0.6rem; }
  .hear { display: grid; gap: 0.2rem; align-content: center; justify-items: center; min-height: 5rem; border-width: 2px; border-color: var(--build, var(--ink)); color: var(--build, var(--ink)); }
  .hear[aria-pressed='true'] { background: var(--build, var(--ink)); color: var(--panel); box-shadow: none; border-color: var(--build, var(--ink)); }
  .big { font: 600 1.8rem var(--ui); }
  .who { overflow: hidden; text-overflow: ellipsis; white-space: nowrap; max-width: 100%; }
  .answers { display: grid; grid-template-columns: 1fr 1fr; gap: 0.6rem; }
  .answers button { min-height: 2.8rem; font-weight: 600; }
  .sound { border-top: 1px solid var(--hairline); padding-top: 0.7rem; align-items: center; }
  .sound label { display: flex !important; gap: 0.6rem !important; align-items: center; flex: 1 1 10rem; }
  .sound input { flex: 1; min-width: 5rem; accent-color: var(--ink); }
  .ask { border: 1px solid var(--ink); padding: 0.7rem 0.9rem; display: flex; flex-wrap: wrap; gap: 0.6rem; align-items: center; }
  .ask p { flex: 1 1 14rem; }
  .verdict { font: 600 1.15rem var(--ui); }
  .scroll { max-height: 16rem; overflow: auto; }
  details > summary { cursor: pointer; min-height: 1.8rem; }
  ol { margin: 0.3rem 0 0; padding-left: 1.3rem; display: grid; gap: 0.3rem; }
  li { font-size: 0.9rem; }
`;
