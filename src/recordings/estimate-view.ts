/** Where pickup and pluck were by an estimate: in words, note by note, and as a curve. */
import { html, nothing } from 'lit';
import type { Estimate } from '../../shared/take/estimate/estimate.ts';
import '../parts/plot.ts';
import { words } from '../words/recordings-words.ts';
import { envelope } from './plots.ts';

/** `stringName` names a string by its number, 1 the highest; `use` takes over a distance from the saddle, m. */
export function estimateView(
  { notes, places, skipped }: Estimate,
  stringName: (string: number) => string,
  use: (distance: number) => void,
) {
  const { pickup, strings, doubts, alternatives } = places;
  return html`<p><b>${words.pickupAt(pickup.distance, pickup.spread, pickup.confidence)}</b> ${words.alternatives(alternatives)}
      ${words.skipped(skipped)}</p>
    ${doubts.map(doubt => html`<p class="small warn">${words.doubt(doubt, alternatives)}</p>`)}
    ${
      strings.length > 1
        ? html`<p class="small">${strings.map(({ string, place }) => words.onString(stringName(string), place.distance, place.spread)).join('; ')}</p>`
        : nothing
    }
    <p class="small soft">${words.pluckMirror}</p>
    <div class="scroll" tabindex="0" role="group" aria-label=${words.estimate}>
      <table>
        <thead><tr>${words.noteHead.map(head => html`<th scope="col">${head}</th>`)}</tr></thead>
        <tbody>
          ${notes.map((note, i) => {
            const fit = places.notes[i];
            const cells = words.note(
              note.at,
              stringName(note.string),
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
      ${alternatives.map(
        ({ distance }) =>
          html`<button class="plain" @click=${() => use(distance)}>${words.useOther(distance)}</button>`,
      )}
    </p>`;
}
