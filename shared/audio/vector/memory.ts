/**
 * Memory is handed out once, at the start, piece after piece, and never given back. Fresh memory is all zeros, and what
 * is never touched costs nothing: the system gives pages at the first write.
 */

/** Bytes of one vector: four numbers of 32 bits. */
export const VECTOR: usize = 16;
/** Bytes of one complex vector: four real parts, then four imaginary ones. */
export const COMPLEX: usize = 32;

const PAGE: usize = 65536;
/** Everything begins on a border of the processor's cache lines. */
const LINE: usize = 64;

let top: usize = (__heap_base + LINE - 1) & ~(LINE - 1);

/** The address of `bytes` zeros. Ends the engine where the system has no more memory. */
export function reserve(bytes: usize): usize {
  const at = top;
  top = (at + bytes + LINE - 1) & ~(LINE - 1);
  const lacking = <i32>((top + PAGE - 1) / PAGE) - memory.size();
  if (lacking > 0 && memory.grow(lacking) < 0) unreachable();
  return at;
}
