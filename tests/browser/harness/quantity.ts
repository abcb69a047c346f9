/** A field for one quantity as a person uses it. */
import type { Locator } from 'playwright-core';

export class QuantityField {
  readonly input: Locator;
  readonly #host: Locator;

  /** @param within the part of the page that holds it, @param label as shown beside it */
  constructor(within: Locator, label: string) {
    this.input = within.getByRole('textbox', { name: label, exact: true });
    this.#host = within
      .locator('cc-quantity')
      .filter({ has: within.page().getByRole('textbox', { name: label, exact: true }) });
  }

  /** Types a text and leaves the field by Enter. */
  async enter(text: string): Promise<void> {
    await this.input.fill(text);
    await this.input.press('Enter');
  }

  /** The value as it stands in the field. */
  shown(): Promise<string> {
    return this.input.inputValue();
  }

  /** What was wrong with the last entry; empty: nothing. */
  async message(): Promise<string> {
    const alert = this.#host.getByRole('alert');
    return (await alert.count()) > 0 ? ((await alert.textContent()) ?? '') : '';
  }
}
