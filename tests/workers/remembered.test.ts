import { expect, test } from 'vitest';
import { Remembered } from '../../src/workers/remembered.ts';

/** Work that ends when told, and says how often it began and was dropped. */
function works() {
  const ends: ((value: string) => void)[] = [];
  const counts = { begun: 0, dropped: 0 };
  const work = ({ signal }: { signal?: AbortSignal | undefined }) => {
    counts.begun++;
    signal?.addEventListener('abort', () => counts.dropped++);
    return new Promise<string>(resolve => ends.push(resolve));
  };
  return { work, ends, counts };
}

test('one request is worked on once, however many wait; the result is kept', async () => {
  const kept = new Remembered<string>(2);
  const { work, ends, counts } = works();
  const both = Promise.all([kept.get('a', work), kept.get('a', work)]);
  ends[0]('first');
  expect(await both).toEqual(['first', 'first']);
  expect(await kept.get('a', work)).toBe('first');
  expect(counts.begun).toBe(1);
});

test('work goes on while anyone waits, and is dropped with the last', async () => {
  const kept = new Remembered<string>(2);
  const { work, ends, counts } = works();
  const [one, two] = [new AbortController(), new AbortController()];
  const first = kept.get('a', work, { signal: one.signal });
  const second = kept.get('a', work, { signal: two.signal });
  one.abort();
  await expect(first).rejects.toThrow(expect.objectContaining({ name: 'AbortError' }));
  expect(counts.dropped).toBe(0);
  two.abort();
  await expect(second).rejects.toThrow(expect.objectContaining({ name: 'AbortError' }));
  expect(counts.dropped).toBe(1);
  const again = kept.get('a', work);
  ends[1]('again');
  expect(await again).toBe('again');
});

test('what failed is not kept; what was used longest ago goes first', async () => {
  const kept = new Remembered<string>(2);
  await expect(kept.get('a', () => Promise.reject(new Error('no')))).rejects.toThrow('no');
  let made = 0;
  const make = () => Promise.resolve(`made ${++made}`);
  for (const key of ['a', 'b', 'a', 'c']) await kept.get(key, make);
  expect(made).toBe(3);
  expect(await kept.get('a', make)).toBe('made 1');
  expect(await kept.get('b', make)).toBe('made 4');
});
