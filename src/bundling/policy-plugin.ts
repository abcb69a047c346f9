/**
 * The content policy of the built page: nothing from elsewhere, no script in the page's text, no text made into a program.
 * It stands in the page itself, and with what only a server can say in `headers.json`, which `npm start` sends.
 */
import type { Plugin } from 'vite';

const POLICY = {
  'default-src': "'none'",
  // the engine's binary; the audio library puts the engine's script, which it fetched here, into a blob of its own
  'script-src': "'self' 'wasm-unsafe-eval' blob:",
  'worker-src': "'self'",
  'style-src-elem': "'self'",
  // colours and places that the page works out, as attributes of what it draws
  'style-src-attr': "'unsafe-inline'",
  'img-src': "'self' data: blob:",
  'font-src': "'self' data:",
  'connect-src': "'self'",
  'manifest-src': "'self'",
  'base-uri': "'none'",
  'form-action': "'none'",
  'require-trusted-types-for': "'script'",
  'trusted-types': 'lit-html comb-and-coil',
} as const;

const text = (policy: Record<string, string>): string =>
  Object.entries(policy)
    .map(([name, value]) => `${name} ${value}`)
    .join('; ');

/** Response headers for every file of the built page. */
const HEADERS = {
  'Content-Security-Policy': text({ ...POLICY, 'frame-ancestors': "'none'" }),
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Permissions-Policy': 'microphone=(self), camera=(), geolocation=()',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
};

export const policy: Plugin = {
  name: 'comb-and-coil:policy',
  apply: 'build',
  transformIndexHtml: {
    order: 'post',
    handler: (_, { path }) =>
      // pages that tests drive parts with are no part of the page
      path === '/index.html'
        ? [
            {
              tag: 'meta',
              attrs: { 'http-equiv': 'Content-Security-Policy', content: text(POLICY) },
              injectTo: 'head-prepend',
            },
          ]
        : [],
  },
  generateBundle() {
    this.emitFile({ type: 'asset', fileName: 'headers.json', source: `${JSON.stringify(HEADERS, null, 2)}\n` });
  },
};
