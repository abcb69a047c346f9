/** The signal path's stations and the panel of the one that is open. */
import type { Locator, Page } from 'playwright-core';
import { STATIONS, type Station } from '../../../shared/document/sheet.ts';
import { QuantityField } from './quantity.ts';
import { Ruler } from './ruler.ts';

export class Stations {
  readonly panel: Locator;
  readonly #page: Page;

  constructor(page: Page) {
    this.#page = page;
    this.panel = page.locator('cc-station');
  }

  button(station: Station): Locator {
    return this.#page.locator('cc-path .station').nth(STATIONS.indexOf(station));
  }

  open(station: Station): Promise<void> {
    return this.button(station).click();
  }

  field(label: string): QuantityField {
    return new QuantityField(this.panel, label);
  }

  ruler(label: string): Ruler {
    return new Ruler(this.panel, label);
  }
}
