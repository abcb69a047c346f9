/** What the heard build has otherwise than the reference, in words and numbers. */
import { css, html, nothing } from 'lit';
import { differences } from '../../shared/document/comparing/difference.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { heard, reference, view } from '../state/page.ts';
import { words } from '../words/dock-words.ts';

export class Differences extends SignalElement {
  static override styles = [
    shared,
    css`
      caption { text-align: left; color: var(--soft); font-size: 0.85rem; padding-bottom: 0.2rem; }
      thead th { font-size: 0.82rem; }
      tbody th { color: var(--ink); }
      td { white-space: nowrap; }
      .wide { overflow-x: auto; }
      td.long { white-space: normal; min-width: 9rem; }
    `,
  ];

  override render() {
    const { heard: letter, reference: against, units } = view.value;
    if (letter === against) return html`<p class="soft small">${words.ownReference(letter)}</p>`;
    const rows = differences(reference.value, heard.value, units);
    if (rows.length === 0) return html`<p class="soft small">${words.noDifference(letter, against)}</p>`;
    const cell = (text: string) => html`<td class=${text.length > 22 ? 'long' : ''}>${text}</td>`;
    return html`<div class="wide" tabindex="0" role="region" aria-label=${words.differs(letter, against)}><table>
      <caption>${words.differs(letter, against)}</caption>
      <thead>
        <tr><th scope="col">${words.differsWhat}</th><th scope="col">${against}</th><th scope="col">${letter}</th>
        <th scope="col">${words.differsBy}</th></tr>
      </thead>
      <tbody>
        ${rows.map(
          ({ what, from, to, effect }) =>
            html`<tr><th scope="row">${what}</th>${cell(from)}${cell(to)}<td>${effect ?? nothing}</td></tr>`,
        )}
      </tbody>
    </table></div>`;
  }
}
customElements.define('cc-differences', Differences);
