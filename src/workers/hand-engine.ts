/** Hands the engine's compiled binary to a worker that has just been made and whose script imports `take-engine.ts`. */
import { engineModule } from '../audio/engine-module.ts';

/** The worker itself. Throws, with a sentence, where the browser cannot run the engine. */
export function handEngine(worker: Worker): Worker {
  worker.postMessage({ engine: engineModule() });
  return worker;
}
