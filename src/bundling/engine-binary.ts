/**
 * Builds the engine's binary from its vector source (`shared/audio/vector`, AssemblyScript). Built once for each state of
 * the source, kept under its hash beside the packages. The page's build, the tests and the command line all take it here.
 */
import { createHash, randomUUID } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import compiler from 'assemblyscript/package.json' with { type: 'json' };

const root = fileURLToPath(new URL('../..', import.meta.url));
/** The folder of the vector source. */
export const VECTOR_SOURCE = join(root, 'shared/audio/vector');
const CACHE = join(root, 'node_modules/.cache/comb-and-coil');

const OPTIONS = [
  ['-O3', '--noAssert', '--runtime', 'stub', '--enable', 'simd'],
  // Vectors never leave the binary, and addresses have 32 bits.
  ['--disableWarning', 'AS112', '--disableWarning', 'AS201'],
].flat();

/** Compiles `files` (name → text), whose entry is `engine.ts`. Throws with the compiler's own words. */
async function compile(files: ReadonlyMap<string, string>): Promise<Uint8Array> {
  const { default: asc } = await import('assemblyscript/asc');
  let binary: Uint8Array | null = null;
  const { error, stderr } = await asc.main(['engine.ts', '--outFile', 'engine.wasm', ...OPTIONS], {
    readFile: name => files.get(name) ?? null,
    writeFile: (_, contents) => {
      binary = contents as Uint8Array;
    },
    listFiles: () => [],
  });
  if (error !== null || binary === null) throw new Error(`the engine's vector source does not compile:\n${stderr}`);
  return binary;
}

/** Path of the engine as a WebAssembly binary. */
export async function builtEngine(): Promise<string> {
  const names = readdirSync(VECTOR_SOURCE).filter(name => name.endsWith('.ts'));
  const files = new Map(names.sort().map(name => [name, readFileSync(join(VECTOR_SOURCE, name), 'utf8')]));
  const hash = createHash('sha256')
    .update(JSON.stringify([...files, OPTIONS, compiler.version]))
    .digest('hex');
  const place = join(CACHE, `engine-${hash.slice(0, 16)}.wasm`);
  if (!existsSync(place)) {
    mkdirSync(CACHE, { recursive: true });
    // Two at once may build it: each moves a whole file into place.
    const unfinished = `${place}.${randomUUID()}`;
    writeFileSync(unfinished, await compile(files));
    renameSync(unfinished, place);
  }
  return place;
}

/** The engine, compiled for this machine. */
export const compiledEngine = async (): Promise<WebAssembly.Module> =>
  new WebAssembly.Module(new Uint8Array(readFileSync(await builtEngine())));
