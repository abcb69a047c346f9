import { css } from 'lit';

/** Layout and drawing of the dock. */
export const dockStyles = css`
  section {
    display: grid; grid-template-columns: auto minmax(9rem, 14rem) minmax(12rem, 1fr) auto auto auto minmax(8rem, 12rem);
    gap: 0.4rem 1.4rem; align-items: center; padding: 0.6rem 1.25rem; background: var(--panel);
    border-top: 2px solid var(--ink);
  }
  .play { width: 3.2rem; height: 3.2rem; border-radius: 50%; background: var(--ink); border-color: var(--ink); padding: 0; }
  .play svg { width: 1.7rem; height: 1.7rem; fill: var(--panel); display: block; margin: auto; }
  .take select { font-weight: 600; width: 100%; }
  .about {
    margin-top: 0.2rem; line-height: 1.2; max-height: 2.4em; overflow: hidden; display: -webkit-box;
    -webkit-box-orient: vertical; -webkit-line-clamp: 2;
  }
  .problem { color: var(--wrong); }
  .wave { display: block; width: 100%; height: 3.4rem; cursor: crosshair; touch-action: pan-y; }
  .shape { fill: var(--soft); }
  .outside { fill: var(--panel); opacity: 0.65; }
  .loop { fill: none; stroke: var(--ink); stroke-dasharray: 3 3; vector-effect: non-scaling-stroke; }
  .head { stroke: var(--build-b); stroke-width: 2; vector-effect: non-scaling-stroke; }
  .under { display: flex; gap: 0.8rem; align-items: center; min-height: 1.6rem; }
  .tight { padding: 0.1rem 0.45rem; min-height: 1.7rem; }
  .letters { display: flex; gap: 0.35rem; align-items: center; flex-wrap: wrap; }
  .letter {
    width: 2.6rem; height: 2.6rem; padding: 0; font: 600 1.1rem var(--ui); color: var(--build); border: 2px solid var(--build);
  }
  .letter[aria-pressed='true'] { background: var(--build); color: var(--on-build); box-shadow: none; border-color: var(--build); }
  .name { border: 1px solid transparent; background: none; padding: 0.1rem 0.2rem; width: 100%; min-width: 8rem; text-overflow: ellipsis; }
  .name:hover, .name:focus { border-color: var(--hairline); background: var(--field); }
  .point label, .volume label { display: grid; gap: 0.15rem; }
  input[type='range'] { accent-color: var(--ink); width: 100%; margin: 0; min-height: 1.4rem; }
  @media (max-width: 1300px) and (min-width: 601px) {
    section {
      grid-template: 'play take time builds fair' auto 'play volume time point fair' auto /
        auto minmax(9rem, 13rem) minmax(10rem, 1fr) auto minmax(7rem, 11rem);
      gap: 0.3rem 1rem;
    }
    .play { grid-area: play; }
    .take { grid-area: take; }
    .time { grid-area: time; }
    .builds { grid-area: builds; }
    .fair { grid-area: fair; }
    .volume { grid-area: volume; }
    .point { grid-area: point; }
    .about:not(:has(.problem)), .builds .under, .point span { display: none; }
  }
  @media (max-width: 600px) {
    section { grid-template-columns: auto minmax(0, 1fr) minmax(0, 7rem); padding: 0.4rem 0.75rem; gap: 0.3rem 0.6rem; }
    .play { width: 2.8rem; height: 2.8rem; grid-row: 1; }
    .builds { grid-column: 2; grid-row: 1; }
    .builds .under, .about { display: none; }
    .volume { grid-column: 3; grid-row: 1; }
    .take { grid-column: 1 / 3; }
    .point { grid-column: 3; }
    .point span { display: none; }
    .time, .fair { display: none; }
    select { min-width: 0; width: 100%; }
  }
`;
