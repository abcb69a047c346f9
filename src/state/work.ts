import type { Sheet } from '../../shared/document/sheet.ts';

/** What is work in a sheet, as text; how the page stands is not, nor in what order it was written down. */
export const workOf = (sheet: Sheet): string =>
  JSON.stringify({ ...sheet, view: null }, (_, value: unknown) =>
    typeof value === 'object' && value !== null && !Array.isArray(value)
      ? Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)))
      : value,
  );
