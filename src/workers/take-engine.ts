/** In a worker that renders: takes the engine's compiled binary, which the page hands to every such worker. */
import { installEngine } from '../../shared/audio/binary.ts';

const handed = new Promise<void>(resolve => {
  addEventListener('message', (event: MessageEvent<{ engine?: WebAssembly.Module }>) => {
    const { engine } = event.data;
    if (!engine) return;
    // what else listens here knows nothing of it
    event.stopImmediatePropagation();
    installEngine(engine);
    resolve();
  });
});

/** Resolves when this worker can render. */
export const engineTaken = (): Promise<void> => handed;
