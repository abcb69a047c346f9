/** A file of the page, fetched with patience that has an end: a silent line is given up, a failed one tried once more. */
import { words } from '../words/work-words.ts';

/** Longest silence on the line, ms. */
const SILENCE = 20_000;
/** Pause before the second try, ms. */
const PAUSE = 400;

/** What went wrong, and whether another try may help. */
class FetchFailure extends Error {
  again: boolean;
  constructor(message: string, again: boolean) {
    super(message);
    this.again = again;
  }
}

async function once(file: string, address: string, silence: number): Promise<Uint8Array<ArrayBuffer>> {
  const line = new AbortController();
  let timer: ReturnType<typeof setTimeout> | undefined;
  const heard = () => {
    clearTimeout(timer);
    timer = setTimeout(() => line.abort(), silence);
  };
  heard();
  try {
    const response = await fetch(address, { signal: line.signal });
    if (!response.ok) throw new FetchFailure(words.fetchStatus(file, response.status), response.status >= 500);
    const pieces: Uint8Array<ArrayBuffer>[] = [];
    const reader = response.body?.getReader();
    for (let step = await reader?.read(); step && !step.done; step = await reader?.read()) {
      heard();
      pieces.push(step.value);
    }
    return new Uint8Array(await new Blob(pieces).arrayBuffer());
  } catch (error) {
    if (error instanceof FetchFailure) throw error;
    if (line.signal.aborted) throw new FetchFailure(words.fetchSilent(file, Math.round(silence / 1000)), false);
    throw new FetchFailure(words.fetchFailed(file), true);
  } finally {
    clearTimeout(timer);
  }
}

/** @throws Error with a sentence that names the file */
export async function fetchBytes(file: string, address: string, silence = SILENCE): Promise<Uint8Array<ArrayBuffer>> {
  try {
    return await once(file, address, silence);
  } catch (error) {
    if (!(error instanceof FetchFailure) || !error.again) throw error;
    await new Promise(resolve => setTimeout(resolve, PAUSE));
    return once(file, address, silence);
  }
}
