/** A question between the lines of a dialog, answered by one of its buttons. */
import { html, type TemplateResult } from 'lit';

export const asked = (
  question: string,
  ...answers: readonly (readonly [text: string, does: () => void])[]
): TemplateResult => html`<div class="ask" role="alertdialog" aria-label=${question}>
  <p>${question}</p>
  ${answers.map(([text, does]) => html`<button @click=${does}>${text}</button>`)}
</div>`;
