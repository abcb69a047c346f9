/** The listening dock as a person uses it. */
import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';
import type { Letter } from '../../../shared/document/sheet.ts';
import { words } from '../../../src/words/dock-words.ts';
import { contextState } from '../hearing.ts';

export class Dock {
  readonly root: Locator;
  readonly #page: Page;

  constructor(page: Page) {
    this.#page = page;
    this.root = page.locator('cc-dock');
  }

  letter(letter: Letter): Locator {
    return this.root.locator('.letters > button.letter', { hasText: letter });
  }

  get letters(): Locator {
    return this.root.locator('.letters > button.letter');
  }

  /** Lets a build be heard, by its button. */
  async hear(letter: Letter): Promise<void> {
    await this.letter(letter).click();
    await expect.poll(() => this.letter(letter).getAttribute('aria-pressed')).toBe('true');
  }

  async heard(): Promise<string> {
    return (await this.root.locator('.letters > button.letter[aria-pressed=true]').textContent())!.trim();
  }

  /** What the dock says of a build that was asked for and does not sound; empty: all is as asked. */
  unheard(): Promise<string> {
    return this.root
      .locator('.unheard')
      .textContent()
      .then(text => text ?? '');
  }

  get playButton(): Locator {
    return this.root.locator('button.play');
  }

  /** Presses Play and waits until the take is playing. */
  async play(): Promise<void> {
    await this.playButton.click();
    await expect.poll(() => this.playButton.getAttribute('aria-label')).toBe(words.stop);
    await expect.poll(() => contextState(this.#page)).toBe('running');
  }

  get levelMatch(): Locator {
    return this.root.getByRole('checkbox', { name: words.levelMatch }).locator('visible=true');
  }

  /** What the dock says about the loudness of the heard build. */
  loudness(): Promise<string> {
    return this.root
      .locator('section > .fair p')
      .textContent()
      .then(text => text ?? '');
  }

  /** Waits until the loudness of the heard and the reference build is measured, not estimated. */
  async measured(): Promise<void> {
    await expect.poll(() => this.loudness()).toContain('measured');
  }

  openList(): Promise<void> {
    return this.root.getByRole('button', { name: words.list, exact: true }).click();
  }

  get testsButton(): Locator {
    return this.root.getByRole('button', { name: words.blindTest });
  }
}
