/** The engine's binary, compiled once for the whole page and handed to its audio thread and its workers. */
import binary from 'virtual:engine-binary';
import { words } from '../words/sound-words.ts';

let compiled: WebAssembly.Module | null = null;

/** Throws, with a sentence for the person, where the browser cannot run it. */
export function engineModule(): WebAssembly.Module {
  if (compiled !== null) return compiled;
  if (typeof WebAssembly === 'undefined') throw new Error(words.noVectorCode);
  const bytes = Uint8Array.from(atob(binary), letter => letter.charCodeAt(0));
  if (!WebAssembly.validate(bytes)) throw new Error(words.noVectorCode);
  compiled = new WebAssembly.Module(bytes);
  return compiled;
}
