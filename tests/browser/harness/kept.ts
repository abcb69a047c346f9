/** What the page keeps by itself. */
import type { Page } from 'playwright-core';
import type { Sheet } from '../../../shared/document/sheet.ts';

/** Key of the kept sheet in the page's storage. */
export const KEPT_KEY = 'comb-and-coil/sheet';

/** The sheet as it is kept at this moment; null: nothing yet. */
export const keptSheet = (page: Page): Promise<Sheet | null> =>
  page.evaluate(key => JSON.parse(localStorage.getItem(key) ?? 'null'), KEPT_KEY);
