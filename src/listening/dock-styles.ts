import { css } from 'lit';

/** Layout and drawing of the dock. */
export const dockStyles = css`
  :host { container-type: inline-size; }
  section {
    display: grid; grid-template-columns: auto minmax(8rem, 13rem) minmax(20rem, 1fr) auto auto auto minmax(7rem, 12rem);
    gap: 0.4rem 1.1rem; align-items: center; padding: 0.45rem 1.25rem; background: var(--panel);
    border-top: 2px solid var(--ink);
  }
  .play { width: 3.2rem; height: 3.2rem; border-radius: 50%; background: var(--ink); border-color: var(--ink); padding: 0; }
  .play svg { width: 1.7rem; height: 1.7rem; fill: var(--panel); display: block; margin: auto; }
  @media (forced-colors: active) { .play svg { fill: ButtonText; } }
  .take select { font-weight: 600; width: 100%; }
  .about { flex: 1; min-width: 0; line-height: 1.2; overflow: hidden; white-space: nowrap; text-overflow: ellipsis; }
  .about:has(.problem) { white-space: normal; max-height: 3.6em; overflow: auto; }
  .problem { color: var(--wrong); }
  .under { display: flex; gap: 0.5rem; align-items: center; margin-top: 0.3rem; }
  .fold, label.check.fold { display: none; }
  .tight { padding: 0 0.45rem; min-height: 1.7rem; }
  .letters { display: flex; gap: 0.3rem; align-items: center; }
  .letter {
    width: 2.2rem; height: 2.2rem; padding: 0; font: 600 1.1rem var(--ui); color: var(--build); border: 2px solid var(--build);
  }
  .many { gap: 0.2rem; }
  .many .letter { width: 1.75rem; height: 1.75rem; font-size: 1rem; }
  .letter[aria-pressed='true'] { background: var(--build); color: var(--on-build); box-shadow: none; border-color: var(--build); }
  .letter.asked { border-style: dashed; box-shadow: inset 0 -4px 0 var(--build); }
  .builds { position: relative; }
  .unheard {
    position: absolute; bottom: calc(100% + 0.6rem); left: 0; width: max-content; max-width: 18rem; padding: 0.25rem 0.6rem;
    background: var(--panel); border: 1px solid var(--wrong); color: var(--wrong); z-index: 1;
  }
  .unheard:empty { display: none; }
  .name { border: 1px solid transparent; background: none; padding: 0.1rem 0.2rem; flex: 1; width: 11rem; min-width: 0; text-overflow: ellipsis; }
  .name:hover, .name:focus { border-color: var(--hairline); background: var(--field); }
  .match { display: flex; gap: 0.9rem; align-items: center; white-space: nowrap; }
  .fair p { white-space: nowrap; }
  .fair p { margin-top: 0.3rem; min-height: 1.3rem; }
  .fair.inside { display: none; }
  .point { display: grid; gap: 0.3rem; }
  .blind { width: 100%; font-weight: 600; white-space: nowrap; }
  .volume label { display: grid; grid-template-columns: auto minmax(3rem, 1fr); gap: 0.6rem; align-items: center; }
  input[type='range'] { accent-color: var(--ink); width: 100%; margin: 0; min-height: 1.4rem; }
  cc-menu { --menu-width: 40rem; }
  @media (pointer: coarse) { .letter, .many .letter { width: 44px; height: 44px; } }
  @container (max-width: 86.6rem) and (min-width: 40.05rem) {
    section {
      grid-template: 'play take time builds fair' auto 'play volume time builds point' auto /
        auto minmax(8rem, 12rem) minmax(20rem, 1fr) minmax(9rem, auto) auto;
      gap: 0.15rem 1rem; padding-block: 0.25rem;
    }
    .play { grid-area: play; }
    .take { grid-area: take; }
    .time { grid-area: time; }
    .builds { grid-area: builds; }
    .fair { grid-area: fair; }
    .volume { grid-area: volume; }
    .point { grid-area: point; grid-template-columns: 1fr auto; }
    .about:not(:has(.problem)) { display: none; }
    .letters { flex-wrap: wrap; max-width: 14rem; }
    .many { max-width: 11.5rem; }
    .name { width: 4rem; }
  }
  @container (max-width: 64rem) and (min-width: 40.05rem) {
    section {
      grid-template: 'play take time' auto 'play volume builds' auto 'play point fair' auto / auto minmax(8rem, 14rem) minmax(20rem, 1fr);
    }
    .builds { display: flex; gap: 0.8rem; align-items: center; flex-wrap: wrap; }
    .builds .under { margin: 0; flex: 1; }
    .letters, .many { max-width: none; }
  }
  @container (max-width: 40.04rem) {
    section { grid-template-columns: auto minmax(0, 1fr) minmax(0, 1fr) minmax(0, 6rem); padding: 0.4rem 0.75rem; gap: 0.3rem 0.5rem; }
    .play { width: 2.8rem; height: 2.8rem; grid-row: 1; }
    .builds { grid-column: 2 / 5; grid-row: 1; display: flex; gap: 0.4rem; align-items: center; justify-content: space-between; }
    .letters { flex-wrap: wrap; }
    .under { margin: 0; }
    .name, .about:not(:has(.problem)), .volume label span { display: none; }
    .letters:has(.letter:nth-child(4)) .tight { display: none; }
    .builds label.check.fold { display: inline-flex; align-items: center; gap: 0.3rem; white-space: nowrap; }
    .take { display: contents; }
    .take label { grid-column: 1 / 4; grid-row: 2; }
    .take .under { grid-column: 1 / 3; grid-row: 3; min-width: 0; gap: 0.3rem; }
    .take .under:has(.problem) { flex-wrap: wrap; }
    .point { grid-column: 3 / 5; grid-row: 3; grid-template-columns: minmax(0, 1fr) auto; }
    .blind { width: auto; }
    .volume { grid-column: 4; grid-row: 2; }
    .volume label { grid-template-columns: 1fr; }
    .fold { display: block; padding: 0 0.3rem; font-family: var(--narrow); min-width: 0; }
    :host(:not([unfolded])) .time { display: none; }
    .time { grid-column: 1 / 5; margin-inline: 0.3rem; }
    .fair { display: none; }
    .fair.inside { display: block; margin-top: 0.7rem; }
    select { min-width: 0; width: 100%; }
    .match { flex-wrap: wrap; }
    .fair p { white-space: normal; }
    .match select { width: auto; }
  }
`;
