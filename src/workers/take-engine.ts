/** First of all in a worker that renders: takes the engine's compiled binary, which the page hands to every such worker. */
import { installEngine } from '../../shared/audio/binary.ts';

addEventListener('message', (event: MessageEvent<{ engine?: WebAssembly.Module }>) => {
  const { engine } = event.data;
  if (!engine) return;
  // what else listens here knows nothing of it
  event.stopImmediatePropagation();
  installEngine(engine);
});
