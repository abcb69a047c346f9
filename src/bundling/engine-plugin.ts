/** `virtual:engine-binary`: the address of the engine's binary, built from its vector source and shipped as a file of its own. */
import type { Plugin } from 'vite';
import { builtEngine, VECTOR_SOURCE } from './engine-binary.ts';

const NAME = 'virtual:engine-binary';

export const engine: Plugin = {
  name: 'engine-binary',
  resolveId: id => (id === NAME ? `\0${id}` : null),
  async load(id) {
    if (id !== `\0${NAME}`) return null;
    return `export { default } from ${JSON.stringify(`${await builtEngine()}?url`)};`;
  },
  configureServer(server) {
    server.watcher.on('change', file => {
      if (file.startsWith(VECTOR_SOURCE)) void server.restart();
    });
  },
};
