/** `virtual:engine-binary`: the engine's binary as text in base 64, built from its vector source. */
import type { Plugin } from 'vite';
import { engineBinary, VECTOR_SOURCE } from './engine-binary.ts';

const NAME = 'virtual:engine-binary';

export const engine: Plugin = {
  name: 'engine-binary',
  resolveId: id => (id === NAME ? `\0${id}` : null),
  async load(id) {
    if (id !== `\0${NAME}`) return null;
    return `export default '${Buffer.from(await engineBinary()).toString('base64')}';`;
  },
  configureServer(server) {
    server.watcher.on('change', file => {
      if (file.startsWith(VECTOR_SOURCE)) void server.restart();
    });
  },
};
