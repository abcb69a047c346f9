/** Looks at the address as it is imported: what the test of the start must catch. */
export const here = location;
setTimeout(() => undefined);
