import { describe, expect, test } from 'vitest';
import { isAbort, type WorkerClient } from '../../src/workers/worker-client.ts';
import { WorkerPool } from '../../src/workers/worker-pool.ts';

type Jobs = { work: { ask: number; answer: string } };
interface Open {
  ask: number;
  resolve: (answer: string) => void;
  reject: (error: Error) => void;
}

/** A pool of `size` clients that answer when told to, and what each has been asked. */
function poolOf(size: number) {
  const clients: { open: Open[]; closed: boolean }[] = [];
  const make = () => {
    const client = { open: [] as Open[], closed: false };
    clients.push(client);
    return {
      ask: (_: string, ask: number) =>
        new Promise<string>((resolve, reject) => client.open.push({ ask, resolve, reject })),
      close: () => {
        client.closed = true;
      },
    } as unknown as WorkerClient<Jobs>;
  };
  return { pool: new WorkerPool<Jobs>(make, size), clients };
}
const turn = () => new Promise(resolve => setTimeout(resolve));
const asked = (clients: { open: Open[] }[]) => clients.map(client => client.open.map(one => one.ask));

describe('a pool of workers', () => {
  test('starts no more than it needs and has, and gives each one thing at a time, in turn', async () => {
    const { pool, clients } = poolOf(2);
    const first = pool.ask('work', 1);
    await turn();
    expect(asked(clients)).toEqual([[1]]);
    const others = [2, 3, 4].map(n => pool.ask('work', n));
    await turn();
    expect(asked(clients)).toEqual([[1], [2]]);
    clients[1].open[0].resolve('two');
    expect(await others[0]).toBe('two');
    await turn();
    expect(asked(clients)).toEqual([[1], [2, 3]]);
    clients[0].open[0].resolve('one');
    expect(await first).toBe('one');
    await turn();
    expect(asked(clients)).toEqual([
      [1, 4],
      [2, 3],
    ]);
  });

  test('what fails frees its worker', async () => {
    const { pool, clients } = poolOf(1);
    const failing = pool.ask('work', 1);
    const next = pool.ask('work', 2);
    await turn();
    clients[0].open[0].reject(new Error('broken'));
    await expect(failing).rejects.toThrow('broken');
    await turn();
    clients[0].open[1].resolve('two');
    expect(await next).toBe('two');
    void pool.ask('work', 3);
    await turn();
    expect(asked(clients)).toEqual([[1, 2, 3]]);
  });

  test('closed, it ends its workers, and what waits is dropped', async () => {
    const { pool, clients } = poolOf(1);
    void pool.ask('work', 1);
    const waiting = pool.ask('work', 2).catch(error => error);
    await turn();
    pool.close();
    expect(isAbort(await waiting)).toBe(true);
    expect(clients.map(client => client.closed)).toEqual([true]);
    expect(isAbort(await pool.ask('work', 3).catch(error => error))).toBe(true);
  });

  test('has one worker at least and eight at most', () => {
    expect([0, 1, 5, 64].map(size => poolOf(size).pool.size)).toEqual([1, 1, 5, 8]);
  });
});
