/** A Lit element that renders again whenever a signal that its `render` read has changed. */
import { effect } from '@preact/signals-core';
import { LitElement } from 'lit';

export class SignalElement extends LitElement {
  #stop: (() => void) | undefined;

  override performUpdate(): void {
    if (!this.isUpdatePending) return;
    this.#stop?.();
    this.#stop = undefined;
    if (!this.isConnected) {
      // removed while this update was pending: a subscription made now would hold the element for ever
      super.performUpdate();
      return;
    }
    let first = true;
    // the first run renders and notes the signals read; a later run only asks for the next render
    this.#stop = effect(() => {
      if (first) super.performUpdate();
      else this.requestUpdate();
      first = false;
    });
  }

  override connectedCallback(): void {
    super.connectedCallback();
    if (this.hasUpdated) this.requestUpdate();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.();
    this.#stop = undefined;
  }
}
