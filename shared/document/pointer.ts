/**
 * Values inside a build by their JSON Pointer (RFC 6901), for instance `/pickups/0/coils/1/resistance`. Writing makes a
 * copy along the way and shares the rest.
 */
import type { Build } from './build.ts';

const unescaped = (token: string): string => token.replaceAll('~1', '/').replaceAll('~0', '~');

/** The tokens of a pointer; the empty pointer is the whole. @throws when it does not begin with `/` */
export function pointerTokens(pointer: string): string[] {
  if (pointer === '') return [];
  if (!pointer.startsWith('/')) throw new Error(`not a JSON Pointer: ${pointer}`);
  return pointer.slice(1).split('/').map(unescaped);
}

type Plain = { [key: string]: unknown } | unknown[];
const isPlain = (value: unknown): value is Plain => typeof value === 'object' && value !== null;
const child = (value: unknown, key: string): unknown =>
  isPlain(value) ? (value as Record<string, unknown>)[key] : undefined;

/** What stands at `pointer`; undefined: nothing. */
export const valueAt = (build: Build, pointer: string): unknown => pointerTokens(pointer).reduce<unknown>(child, build);

/** The number at `pointer`; NaN where there is none. */
export function numberAt(build: Build, pointer: string): number {
  const value = valueAt(build, pointer);
  return typeof value === 'number' ? value : Number.NaN;
}

function replaced(value: unknown, tokens: readonly string[], next: unknown): unknown {
  if (tokens.length === 0) return next;
  if (!isPlain(value)) return value;
  const [key, ...rest] = tokens;
  const before = (value as Record<string, unknown>)[key];
  const after = replaced(before, rest, next);
  if (after === before) return value;
  if (Array.isArray(value)) return value.map((item, i) => (String(i) === key ? after : item));
  return { ...value, [key]: after };
}

/** The build with `next` at `pointer`. The same object when nothing changes or the place does not exist. */
export const withValueAt = (build: Build, pointer: string, next: unknown): Build =>
  replaced(build, pointerTokens(pointer), next) as Build;
