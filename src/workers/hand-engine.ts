/** Hands the engine's compiled binary to a worker that has just been made and whose script waits for it (`take-engine.ts`). */
import { engineModule } from '../audio/engine-module.ts';

/** The worker itself; where there is no engine to hand over it counts as not loaded. */
export function handEngine(worker: Worker): Worker {
  engineModule().then(
    engine => worker.postMessage({ engine }),
    () => worker.dispatchEvent(new Event('error')),
  );
  return worker;
}
