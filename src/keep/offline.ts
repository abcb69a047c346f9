/** The page without a network, its updates, and files that the system hands to the installed page. */
import { notify } from '../state/notices.ts';
import { words } from '../words/keep-words.ts';
import { scriptAddress } from '../workers/start-worker.ts';
import { openProject } from './project-files.ts';

/** An update is offered; taking it reloads the page, whose work is kept. Nothing is ever forced on it. */
function offer(waiting: ServiceWorker): void {
  notify(words.update, 'note', {
    label: words.takeUpdate,
    run: () => {
      navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
      waiting.postMessage('take over');
    },
  });
}

/** Keeps the page for days without a network; only a built page has what it takes. */
export async function workOffline(): Promise<void> {
  if (!('serviceWorker' in navigator) || !document.querySelector('link[rel="manifest"]')) return;
  try {
    const registration = await navigator.serviceWorker.register(scriptAddress('sw.js'));
    if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting);
    registration.addEventListener('updatefound', () => {
      const { installing } = registration;
      installing?.addEventListener('statechange', () => {
        if (installing.state === 'installed' && navigator.serviceWorker.controller) offer(installing);
      });
    });
  } catch {
    // a browser that refuses still shows the page as long as there is a network
  }
}

interface LaunchQueue {
  setConsumer(consume: (launch: { files: readonly { getFile(): Promise<File> }[] }) => void): void;
}

/** Opens the file that the installed page was started with. */
export function acceptLaunches(): void {
  const { launchQueue } = window as { launchQueue?: LaunchQueue };
  launchQueue?.setConsumer(({ files: [first] }) => void first?.getFile().then(openProject));
}
