/** The page: header, notices, the bench that is worked at, and the dock under all of them. */
import { css, html, nothing } from 'lit';
import { keepSheet } from '../keep/keeping.ts';
import { acceptDrops } from '../keep/project-files.ts';
import '../listening/dock.ts';
import { SignalElement } from '../parts/signal-element.ts';
import { shared } from '../parts/styles.ts';
import { words } from '../words/page-words.ts';
import { BENCHES, bench, followAddress } from './benches.ts';
import './header.ts';
import { pageKeys } from './keys.ts';
import { noticeBar, noticeStyles } from './notice-bar.ts';

/** Another link in the address is another sheet. */
const readAgain = (): void => location.reload();

export class App extends SignalElement {
  static override styles = [
    shared,
    noticeStyles,
    css`
      :host {
        display: grid; grid-template: auto auto 1fr / minmax(0, 1fr); min-height: 100vh; padding-bottom: var(--dock-height, 0px);
      }
      .skip { position: absolute; z-index: 30; display: flex; gap: 0.5rem; }
      .skip button { position: absolute; left: -200vw; background: var(--panel); border-color: var(--ink); white-space: nowrap; }
      .skip button:focus { left: 0.5rem; top: 0.4rem; }
      main { padding: 0.3rem 1.25rem 1rem; }
      /* not sticky: what gets the focus inside it would scroll the page by what is kept free above it */
      cc-dock { position: fixed; inset: auto 0 0; z-index: 10; }
      @media (max-width: 600px) { main { padding: 0.3rem 0.75rem 1rem; } }
      @media print {
        :host { padding-bottom: 0; }
        cc-dock, .skip { display: none; }
        :host([data-bench='paper']) { display: block; }
        :host([data-bench='paper']) cc-header { display: none; }
        :host([data-bench='paper']) main { padding: 0; }
      }
    `,
  ];

  #stopFollowing = () => {};
  /** Heights of what stands above and under the bench, for what is laid out between them and for what scrolls into view. */
  #heights = new ResizeObserver(() => {
    const height = (name: string) => this.renderRoot.querySelector<HTMLElement>(name)?.offsetHeight ?? 0;
    const { style } = document.documentElement;
    style.setProperty('--header-height', `${height('cc-header')}px`);
    style.setProperty('--dock-height', `${height('cc-dock')}px`);
  });

  override connectedCallback(): void {
    super.connectedCallback();
    keepSheet();
    acceptDrops();
    this.#stopFollowing = followAddress();
    addEventListener('keydown', pageKeys);
    addEventListener('hashchange', readAgain);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stopFollowing();
    this.#heights.disconnect();
    removeEventListener('keydown', pageKeys);
    removeEventListener('hashchange', readAgain);
  }

  #toPlay = (): void => this.renderRoot.querySelector<HTMLElement>('cc-dock')?.focus();
  #toBench = (): void => this.renderRoot.querySelector('main')?.focus();

  override firstUpdated(): void {
    for (const name of ['cc-header', 'cc-dock']) this.#heights.observe(this.renderRoot.querySelector(name)!);
  }

  override updated(): void {
    const name = bench.peek();
    if (!name) return;
    this.dataset.bench = name;
    document.title = words.pageTitle(words.benches[name]);
  }

  override render() {
    const name = bench.value;
    return html`
      <div class="skip">
        <button @click=${this.#toPlay}>${words.skipToPlay}</button>
        <button @click=${this.#toBench}>${words.skipToBench}</button>
      </div>
      <cc-header></cc-header>
      ${noticeBar()}
      <main tabindex="-1" aria-label=${name ? words.benches[name] : nothing}>${name ? BENCHES[name].template() : nothing}</main>
      <cc-dock></cc-dock>
    `;
  }
}
customElements.define('cc-app', App);
