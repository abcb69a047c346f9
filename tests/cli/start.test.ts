/** The start command, run as a person runs it: what is wrong with a port is said, and the page never moves to another. */
import { spawn, spawnSync } from 'node:child_process';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const script = fileURLToPath(new URL('../../src/cli/start.mjs', import.meta.url));
const start = (port: string) =>
  spawnSync(process.execPath, [script], { env: { ...process.env, PORT: port }, encoding: 'utf8' });

test('a port that is none is named with what was expected', () => {
  for (const port of ['abc', '0', '70000', '-1', '80.5', '0x50']) {
    const { status, stderr } = start(port);
    expect(stderr).toBe(`PORT is "${port}"; expected a whole number from 1 to 65535.\n`);
    expect(status).toBe(2);
  }
});

test('a taken port ends the command with a way out', async () => {
  const server = createServer();
  const port = await new Promise<number>(done =>
    server.listen(0, '127.0.0.1', () => done((server.address() as { port: number }).port)),
  );
  try {
    const child = spawn(process.execPath, [script], { env: { ...process.env, PORT: String(port) } });
    let told = '';
    child.stderr.on('data', chunk => (told += chunk));
    expect(await new Promise(done => child.once('exit', done))).toBe(2);
    expect(told).toContain(`Port ${port} cannot be used`);
    expect(told).toContain('for each address apart');
  } finally {
    server.close();
  }
});
