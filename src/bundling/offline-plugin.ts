/**
 * Makes the built page work without a network and installable: a manifest, an icon, and a service worker that keeps every
 * file of the build under the build's own version. An update waits until the person takes it or the last tab is closed.
 */
import { createHash } from 'node:crypto';
import type { Plugin } from 'vite';

const ICON = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 24"><rect width="24" height="24" fill="#fdfefe"/><path d="M3 12q2.4-8 4.8 0t4 0 4 0 5.2 0" fill="none" stroke="#0072B2" stroke-width="2"/></svg>`;

const MANIFEST = {
  name: 'Comb & Coil',
  short_name: 'Comb & Coil',
  description: 'Hear and see where a pickup goes, how it is wound and wired, and what loads it.',
  id: './',
  start_url: './',
  scope: './',
  display: 'standalone',
  background_color: '#fdfefe',
  theme_color: '#fdfefe',
  icons: [
    { src: 'icon.svg', type: 'image/svg+xml', sizes: 'any', purpose: 'any' },
    { src: 'icon.svg', type: 'image/svg+xml', sizes: 'any', purpose: 'maskable' },
  ],
  file_handlers: [{ action: './', accept: { 'application/json': ['.json'] } }],
};

/** The service worker's text: `files` are kept under `version`. */
const worker = (version: string, files: readonly string[]): string => `// made by the build
const CACHE = ${JSON.stringify(`comb-and-coil/${version}`)};
const FILES = ${JSON.stringify(files)};
addEventListener('install', event => {
  event.waitUntil(caches.open(CACHE).then(cache => cache.addAll(FILES.map(file => new Request(file, { cache: 'reload' })))));
});
addEventListener('activate', event => {
  event.waitUntil(
    caches.keys().then(names => {
      // the version before stays: a page that is still open asks for its files
      const old = names.filter(name => name.startsWith('comb-and-coil/') && name !== CACHE).slice(0, -1);
      return Promise.all(old.map(name => caches.delete(name))).then(() => clients.claim());
    }),
  );
});
addEventListener('message', event => {
  if (event.data === 'take over') skipWaiting();
});
addEventListener('fetch', event => {
  const { request } = event;
  const { origin, href } = new URL(request.url);
  if (request.method !== 'GET' || origin !== location.origin) return;
  if (request.mode === 'navigate' && href.split(/[?#]/)[0] !== new URL('./', location.href).href && !/index\\.html$/.test(href.split(/[?#]/)[0])) return;
  event.respondWith(
    (request.mode === 'navigate'
      ? caches.open(CACHE).then(cache => cache.match('index.html'))
      : caches.match(request)
    ).then(found => found ?? fetch(request)),
  );
});
`;

export const offline: Plugin = {
  name: 'comb-and-coil:offline',
  apply: 'build',
  enforce: 'post',
  transformIndexHtml: () => [
    { tag: 'link', attrs: { rel: 'manifest', href: './manifest.webmanifest' }, injectTo: 'head' },
  ],
  generateBundle: {
    order: 'post',
    handler(_, bundle) {
      this.emitFile({ type: 'asset', fileName: 'icon.svg', source: ICON });
      this.emitFile({ type: 'asset', fileName: 'manifest.webmanifest', source: JSON.stringify(MANIFEST) });
      this.emitFile({ type: 'asset', fileName: 'robots.txt', source: 'User-agent: *\nAllow: /\n' });
      const hash = createHash('sha256');
      const names = [...new Set([...Object.keys(bundle), 'icon.svg', 'manifest.webmanifest'])]
        .filter(name => !name.endsWith('.map'))
        .sort();
      for (const name of names) {
        const file = bundle[name];
        hash.update(name).update(file === undefined ? '' : file.type === 'chunk' ? file.code : file.source);
      }
      this.emitFile({ type: 'asset', fileName: 'sw.js', source: worker(hash.digest('hex').slice(0, 16), names) });
    },
  },
};
