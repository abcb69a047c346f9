/** The messages at the top of the page, each with what can be done about it. */
import { css, html, nothing } from 'lit';
import { type Action, dismiss, type Notice, notices } from '../state/notices.ts';
import { words } from '../words/page-words.ts';

export const noticeStyles = css`
  .notices { display: grid; gap: 1px; }
  .notice {
    display: flex; gap: 0.8rem; align-items: center; padding: 0.35rem 1.25rem; background: var(--panel);
    border-bottom: 1px solid var(--hairline); border-left: 4px solid var(--soft);
  }
  .notice.warning { border-left-color: var(--warn); }
  .notice p { flex: 1; }
  @media print { .notices { display: none; } }
`;

const button = (notice: Notice, action: Action | undefined) =>
  action
    ? html`<button
        @click=${() => {
          action.run();
          dismiss(notice.id);
        }}
      >${action.label}</button>`
    : nothing;

/** Read inside an element that renders on signals. */
export const noticeBar = () =>
  html`<div class="notices" role="status">
    ${notices.value.map(
      notice =>
        html`<div class="notice ${notice.tone}">
          <p>${notice.text}</p>
          ${button(notice, notice.action)} ${button(notice, notice.also)}
          <button class="plain" aria-label=${words.dismiss} @click=${() => dismiss(notice.id)}>×</button>
        </div>`,
    )}
  </div>`;
