/** Where pickup and pluck were by an estimate: in words, note by note, and as a curve. */
import { html } from 'lit';
import type { Estimate } from '../../shared/take/estimate/estimate-channel.ts';
import '../parts/plot.ts';
import { words } from '../words/recordings-words.ts';
import { envelope } from './plots.ts';

/** `use` takes over a distance from the saddle, m. */
export function estimateView({ notes, places, skipped }: Estimate, use: (distance: number) => void) {
  const { pickup } = places;
  return html`<p><b>${words.pickupAt(pickup.distance, pickup.spread, pickup.confidence)}</b> ${words.alternatives(places.alternatives)}
      ${words.skipped(skipped)}</p>
    ${places.ambiguities.map(text => html`<p class="small warn">${text}</p>`)}
    <div class="scroll" tabindex="0" role="group" aria-label=${words.estimate}>
      <table>
        <thead><tr>${words.noteHead.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
        <tbody>
          ${notes.map((note, i) => {
            const fit = places.notes[i];
            const cells = words.note(
              note.at,
              note.fret,
              note.partials.f0,
              note.partials.B,
              fit.pluck.distance,
              fit.pluck.spread,
              fit.pluck.confidence,
              fit.error,
            );
            return html`<tr>${cells.map(cell => html`<td>${cell}</td>`)}</tr>`;
          })}
        </tbody>
      </table>
    </div>
    <p class="key">
      <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--soft)" stroke-width="6" /></svg>${words.measuredLevel}</span>
      <span><svg viewBox="0 0 32 8" aria-hidden="true"><path d="M0 4H32" stroke="var(--ink)" stroke-width="2" /></svg>${words.fittedLevel}</span>
    </p>
    <cc-plot .model=${envelope(notes[0], places.notes[0].measured, places.notes[0].fitted)}></cc-plot>
    <p class="row uses">
      <button class="use-estimate" @click=${() => use(pickup.distance)}>${words.useThis}</button>
      ${places.alternatives.map(
        ({ distance }) =>
          html`<button class="plain" @click=${() => use(distance)}>${words.useOther(distance)}</button>`,
      )}
    </p>`;
}
