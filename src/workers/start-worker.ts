/** Scripts that the page starts beside itself. The page's content policy takes addresses of scripts from here alone. */

interface Policy {
  createScriptURL(address: string): unknown;
}
interface PolicyMaker {
  createPolicy(name: string, rules: { createScriptURL: (address: string) => string }): Policy;
}

/** Name under which the content policy allows this (`src/bundling/policy-plugin.ts`). */
const POLICY = 'comb-and-coil';
let policy: Policy | null = null;

/** Throws for a script of another origin: nothing that a document says can lead there, and nothing should. */
function ownOrigin(address: string): string {
  const { origin } = new URL(address, document.baseURI);
  if (origin !== location.origin) throw new TypeError(`a script of ${origin} is not started here`);
  return address;
}

/** The address of a script of this page, as a browser wants it that asks where scripts come from. */
export function scriptAddress(address: string): string {
  const { trustedTypes } = globalThis as { trustedTypes?: PolicyMaker };
  if (!trustedTypes) return ownOrigin(address);
  policy ??= trustedTypes.createPolicy(POLICY, { createScriptURL: ownOrigin });
  // browsers take the object where the types know a text only
  return policy.createScriptURL(address) as string;
}

/** A worker of this page. */
export const startWorker = (address: string): Worker => new Worker(scriptAddress(address), { type: 'module' });
