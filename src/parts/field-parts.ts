/** What fields for typed values share: looks, and the line below, a refusal before a hint. */
import { css, html, nothing, type TemplateResult } from 'lit';

export const fieldParts = css`
  label { display: block; font-size: 0.85rem; color: var(--soft); font-family: var(--narrow); margin-bottom: 0.15rem; }
  input {
    width: 100%; padding: 0.25rem 0.5rem; min-height: 2.1rem; background: var(--field); border: 1px solid var(--hairline);
    border-radius: 0;
  }
  input:hover { border-color: var(--ink); }
  input[aria-invalid='true'] { border: 2px solid var(--wrong); }
  .message { color: var(--wrong); font-size: 0.82rem; line-height: 1.2; margin-top: 0.2rem; }
  .hint { font-size: 0.8rem; color: var(--soft); margin-top: 0.15rem; }
  @media (pointer: coarse) { input { min-height: 44px; } }
`;

interface Said {
  message: string;
  hint: string;
}

/** For `aria-describedby`: the line below, if there is one. */
export const saidId = ({ message, hint }: Said) => (message ? 'message' : hint ? 'hint' : nothing);

export const saidBelow = ({ message, hint }: Said): TemplateResult | typeof nothing =>
  message
    ? html`<p id="message" part="message" class="message" role="alert">${message}</p>`
    : hint
      ? html`<p id="hint" class="hint">${hint}</p>`
      : nothing;
