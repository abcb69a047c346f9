/**
 * Bounds that untrusted data must keep before it is validated: lists no longer than the schema allows, and nothing nested
 * deeper than any document. A schema library looks at every item and only then at the length, and keeps what it found
 * wrong with each: four megabytes of `{}` would become gigabytes of issues.
 */

/** The deepest document nests 11 levels; room for what newer versions add. */
const DEEPEST = 40;
/** Longest list of a schema that names no length of its own. */
const LONGEST_LIST = 64;
/** Issues that anybody reads. */
export const MOST_ISSUES = 20;

export interface OutOfBounds {
  /** Names and indices joined by dots; empty: the whole. */
  path: string;
  message: string;
}

/** What is used of a schema: its kind and what it holds. */
interface Node {
  type: string;
  pipe?: readonly { type: string; requirement?: unknown; message?: unknown; literal?: unknown }[];
  entries?: Record<string, Node & { literal?: unknown }>;
  item?: Node;
  items?: readonly Node[];
  wrapped?: Node;
  options?: readonly Node[];
  key?: string;
}

/** Whether plain data nests deeper than `levels`; walks without recursion, so that no depth can exhaust the stack. */
function deeperThan(data: unknown, levels: number): boolean {
  let layer: unknown[] = [data];
  for (let level = 0; layer.length > 0; level++) {
    if (level > levels) return true;
    const next: unknown[] = [];
    for (const value of layer)
      if (typeof value === 'object' && value !== null) for (const inner of Object.values(value)) next.push(inner);
    layer = next.filter(value => typeof value === 'object' && value !== null);
  }
  return false;
}

function longest({ pipe }: Node): { most: number; message: string } {
  const bound = pipe?.find(action => action.type === 'max_length');
  const most = typeof bound?.requirement === 'number' ? bound.requirement : LONGEST_LIST;
  return { most, message: typeof bound?.message === 'string' ? bound.message : `at most ${most} entries` };
}

const at = (path: string, key: string | number): string => (path === '' ? String(key) : `${path}.${key}`);

function tooLong(node: Node, data: unknown, path: string): OutOfBounds | null {
  if (node.wrapped) return tooLong(node.wrapped, data, path);
  if (typeof data !== 'object' || data === null) return null;
  if (node.item) {
    if (!Array.isArray(data)) return null;
    const { most, message } = longest(node);
    if (data.length > most) return { path, message: `${message} (found ${data.length})` };
    for (const [i, item] of data.entries()) {
      const found = tooLong(node.item, item, at(path, i));
      if (found) return found;
    }
    return null;
  }
  if (node.options) {
    const { key } = node;
    const kind = key === undefined ? undefined : (data as Record<string, unknown>)[key];
    const option = node.options.find(one => key !== undefined && one.entries?.[key]?.literal === kind);
    return option ? tooLong(option, data, path) : null;
  }
  for (const [key, entry] of Object.entries(node.entries ?? {})) {
    if (!Object.hasOwn(data, key)) continue;
    const found = tooLong(entry, (data as Record<string, unknown>)[key], at(path, key));
    if (found) return found;
  }
  return null;
}

/** The first place where `data` exceeds what a document of this schema may hold; null: it keeps to it. */
export function outOfBounds(schema: object, data: unknown): OutOfBounds | null {
  if (deeperThan(data, DEEPEST)) return { path: '', message: 'it is nested deeper than any document' };
  return tooLong(schema as Node, data, '');
}

const KINDS: Record<string, string> = {
  string: 'text',
  number: 'a number',
  boolean: 'true or false',
  Array: 'a list',
  Object: 'an object',
};

/** For a schema library: what is accepted where the schema itself does not say so. */
export const SAYING = {
  message: ({ expected }: { expected: string | null }): string => {
    if (expected === null) return 'is not accepted';
    const choice = expected.replace(/^\(|\)$/g, '').split(' | ');
    return `must be ${choice.map(one => KINDS[one] ?? one).join(' or ')}`;
  },
};
