/** Fetching with patience that has an end, against a server that fails, hangs and answers as it is told. */
import { createServer, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, expect, test } from 'vitest';
import { fetchBytes } from '../../src/files/fetch-bytes.ts';

let server: Server | undefined;
afterEach(() => server?.closeAllConnections());

/** Address of a server that answers the n-th request by the n-th of `answers`, and counts them. */
async function serving(...answers: ((response: ServerResponse) => void)[]) {
  const asked = { count: 0 };
  server = createServer((_, response) => answers[Math.min(asked.count++, answers.length - 1)](response));
  await new Promise<void>(resolve => server?.listen(0, '127.0.0.1', resolve));
  return { address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/a.wav`, asked };
}
const good = (response: ServerResponse) => response.end(Buffer.from([1, 2, 3]));
const status = (code: number) => (response: ServerResponse) => response.writeHead(code).end();

test('what failed once is tried once more', async () => {
  for (const bad of [status(503), (response: ServerResponse) => response.destroy()]) {
    const { address, asked } = await serving(bad, good);
    expect([...(await fetchBytes('a.wav', address))]).toEqual([1, 2, 3]);
    expect(asked.count).toBe(2);
  }
});

test('what fails twice is given up, with its name and a reason', async () => {
  const broken = await serving(response => response.destroy());
  await expect(fetchBytes('a.wav', broken.address)).rejects.toThrow('a.wav could not be fetched; check the connection');
  const { address, asked } = await serving(status(404));
  await expect(fetchBytes('a.wav', address)).rejects.toThrow('a.wav could not be fetched (status 404)');
  expect(asked.count).toBe(1);
});

test('a line that falls silent is given up, before or within the answer', async () => {
  const mute = await serving(() => undefined);
  await expect(fetchBytes('a.wav', mute.address, 200)).rejects.toThrow('a.wav did not arrive');
  const half = await serving(response => response.writeHead(200).write('half'));
  await expect(fetchBytes('a.wav', half.address, 200)).rejects.toThrow('a.wav did not arrive');
});

test('a slow line that goes on is waited for', async () => {
  const { address } = await serving(response => {
    response.writeHead(200);
    let sent = 0;
    const timer = setInterval(() => {
      response.write('x');
      if (++sent === 8) {
        clearInterval(timer);
        response.end();
      }
    }, 150);
  });
  expect((await fetchBytes('a.wav', address, 1000)).length).toBe(8);
});
