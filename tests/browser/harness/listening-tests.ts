/** The dialog of listening tests as a person uses it. */
import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';
import { words } from '../../../src/words/listening-words.ts';
import { Dock } from './dock.ts';

export type Kind = keyof typeof words.kinds;
/** What can be heard in a trial. */
export type Heard = 0 | 1 | 'x';

export class ListeningTests {
  readonly root: Locator;
  readonly #page: Page;

  constructor(page: Page) {
    this.#page = page;
    this.root = page.locator('cc-listening dialog');
  }

  async open(kind: Kind = 'blind'): Promise<void> {
    await new Dock(this.#page).testsButton.click();
    await this.root.getByRole('radio', { name: words.kinds[kind] }).check();
  }

  get startButton(): Locator {
    return this.root.getByRole('button', { name: words.start });
  }

  /** Waits until every build's loudness is measured. */
  async ready(): Promise<void> {
    await expect.poll(() => this.startButton.isEnabled()).toBe(true);
  }

  async setTrials(trials: number): Promise<void> {
    await this.root.getByLabel(words.trials).fill(String(trials));
    await this.root.getByLabel(words.trials).press('Tab');
  }

  async setRounds(rounds: number): Promise<void> {
    await this.root.getByLabel(words.rounds).selectOption(String(rounds));
  }

  /** Starts a run and waits for its first trial. */
  async start(): Promise<void> {
    await this.ready();
    await this.startButton.click();
    await this.root.locator('.trial').waitFor();
  }

  /** Waits for trial or choice `n` (from 1) of `of`. */
  async atTrial(kind: Kind, n: number, of: number): Promise<void> {
    await this.root.getByText(kind === 'blind' ? words.trial(n, of) : words.choice(n, of)).waitFor();
  }

  #hearButton(what: Heard): Locator {
    return this.root.locator('.hear', { hasText: what === 'x' ? words.hearX : words.hearPlace(what) }).nth(0);
  }

  async hear(what: Heard): Promise<void> {
    await this.#page.keyboard.press(what === 'x' ? 'x' : String(what + 1));
    await expect
      .poll(() => this.root.locator('.hear[aria-pressed=true] .big').textContent())
      .toBe(what === 'x' ? words.hearX : words.hearPlace(what));
  }

  /** Letter and name that stand on the button of the first or second build; empty in a preference run. */
  async whoIs(place: 0 | 1): Promise<string> {
    const who = this.#hearButton(place).locator('.who');
    return (await who.count()) ? ((await who.textContent()) ?? '').trim() : '';
  }

  /** Says that X is (or that one prefers) the first or the second, and goes on. */
  async answer(place: 0 | 1): Promise<void> {
    await this.#page.keyboard.press(place === 0 ? 'ArrowLeft' : 'ArrowRight');
    await this.#page.keyboard.press('Enter');
  }

  /** Text of every cell of the result's table. */
  async result(): Promise<string[][]> {
    await this.root.locator('.outcome tbody tr, tbody tr').first().waitFor();
    return this.root
      .locator('tbody tr')
      .evaluateAll(rows =>
        rows.map(row => [...row.querySelectorAll('th, td')].map(cell => cell.textContent?.trim() ?? '')),
      );
  }

  async keep(): Promise<void> {
    await this.root.getByRole('button', { name: words.keep }).click();
  }

  /** Closes without keeping the result, which is asked about first. */
  async letResultGo(): Promise<void> {
    await this.#page.keyboard.press('Escape');
    await this.root.getByRole('button', { name: words.unkeptLetGo }).click();
    await expect.poll(() => this.root.isVisible()).toBe(false);
  }

  async close(): Promise<void> {
    await this.#page.keyboard.press('Escape');
    await expect.poll(() => this.root.isVisible()).toBe(false);
  }
}
