/** A ruler as a person uses it: by keys and by drag. */
import type { Locator, Page } from 'playwright-core';

export class Ruler {
  readonly slider: Locator;
  readonly #page: Page;

  /** @param within the part of the page that holds it, @param label as it is spoken */
  constructor(within: Locator, label: string) {
    this.slider = within.getByRole('slider', { name: label });
    this.#page = within.page();
  }

  /** The value in words. */
  text(): Promise<string | null> {
    return this.slider.getAttribute('aria-valuetext');
  }

  async press(...keys: string[]): Promise<void> {
    await this.slider.focus();
    for (const key of keys) await this.#page.keyboard.press(key);
  }

  /** Drags over the scale through `stops`, shares of its length from 0 to 1, the first of them where the button goes down. */
  async drag(...stops: number[]): Promise<void> {
    const box = (await this.slider.boundingBox())!;
    const y = box.y + 12;
    const [first, ...rest] = stops.map(share => box.x + share * box.width);
    await this.#page.mouse.move(first, y);
    await this.#page.mouse.down();
    for (const x of rest) await this.#page.mouse.move(x, y, { steps: 4 });
    await this.#page.mouse.up();
  }
}
