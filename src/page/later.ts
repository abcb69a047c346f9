/** What the first sound does not need is fetched when the page has nothing else to do. */

const LATER = [
  () => import('../files/link.ts'),
  () => import('../listening/blind/blind-dialog.ts'),
  () => import('../keep/render-dialog.ts'),
  () => import('../recordings/recordings-inside.ts'),
];
/** Where a browser does not tell when it is idle, ms after the start. */
const SOON = 3000;

export function fetchLater(): void {
  const fetchAll = () => {
    // what is not there yet is asked for again, and missed aloud, where it is needed
    for (const part of LATER) part().catch(() => undefined);
  };
  if ('requestIdleCallback' in window) requestIdleCallback(fetchAll);
  else setTimeout(fetchAll, SOON);
}
