/** Where a Chromium is; undefined where there is none. */
export const findChromium: () => string | undefined;
