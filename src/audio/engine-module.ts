/** The engine's binary, fetched and compiled once for the whole page and handed to its audio thread and its workers. */
import address from 'virtual:engine-binary';
import { fetchBytes } from '../files/fetch-bytes.ts';
import { words } from '../words/sound-words.ts';

let compiled: Promise<WebAssembly.Module> | null = null;

async function compile(): Promise<WebAssembly.Module> {
  if (typeof WebAssembly === 'undefined') throw new Error(words.noVectorCode);
  const bytes = await fetchBytes(words.engineFile, new URL(address, document.baseURI).href);
  if (!WebAssembly.validate(bytes)) throw new Error(words.noVectorCode);
  return WebAssembly.compile(bytes);
}

/** Rejects, with a sentence for the person, where the browser cannot run it or it cannot be fetched; the next call tries again. */
export function engineModule(): Promise<WebAssembly.Module> {
  compiled ??= compile().catch(error => {
    compiled = null;
    throw error;
  });
  return compiled;
}
