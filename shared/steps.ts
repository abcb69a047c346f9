/** Work in steps, each yielding how far it has come, 0 to 1, so that it can be shown and dropped. */
export type Steps<T> = Generator<number, T, unknown>;

/** The same work in one go. */
export const toEnd = <T>(steps: Steps<T>): T => {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
};
