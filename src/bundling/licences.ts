/**
 * Bundler plugin: collects whose work the built page carries (libraries of the page, of its workers and worklets, fonts,
 * recordings) and writes every licence text into `notices.txt` beside the page. A part without a licence text stops the
 * build: what may not be shown with its notice may not be shipped.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));
const LICENCE = /^(licen[cs]e|copying|notice|copyrightnotice)/i;

/** Name and folder of the package that a module belongs to; null: the project's own. */
export function packageOf(moduleId: string): { name: string; folder: string } | null {
  const id = moduleId.replace(/^\0/, '').replaceAll('\\', '/').split('?')[0];
  const at = id.lastIndexOf('/node_modules/');
  if (at < 0) return null;
  const rest = id.slice(at + '/node_modules/'.length).split('/');
  const name = rest[0].startsWith('@') ? `${rest[0]}/${rest[1]}` : rest[0];
  return { name, folder: `${id.slice(0, at)}/node_modules/${name}` };
}

/** Version, licence and licence texts of an installed package. Throws where it has no text. */
export function packageNotice(name: string, folder: string): string {
  const { version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Record<string, string>;
  const texts = readdirSync(folder)
    .filter(file => LICENCE.test(file))
    .map(file => readFileSync(join(folder, file), 'utf8').trim());
  // some small packages print theirs at the end of their README only
  const readme = join(folder, 'README.md');
  if (texts.length === 0 && existsSync(readme)) {
    const section = /^#+\s*licen[cs]e\s*$([\s\S]*)/im.exec(readFileSync(readme, 'utf8'))?.[1].trim() ?? '';
    if (/copyright/i.test(section) && /permission/i.test(section)) texts.push(section);
  }
  if (texts.length === 0) throw new Error(`the package ${name} is bundled and carries no licence text`);
  return `${name} ${version} (${license})\n\n${texts.join('\n\n')}`;
}

/** Notices of the recordings, which stand beside them. */
const sampleNotices = (): string[] => {
  const folder = join(root, 'samples');
  return readdirSync(folder)
    .filter(file => LICENCE.test(file))
    .map(
      file =>
        `Recordings: ${file.replace(/^LICENCE-|\.txt$/g, '')}\n\n${readFileSync(join(folder, file), 'utf8').trim()}`,
    );
};

/** One plugin for the page and one for its workers; they share what they found. */
export function notices(): { page: Plugin; worker: () => Plugin } {
  const found = new Map<string, string>();
  const collect = (ids: Iterable<string>) => {
    for (const id of ids) {
      const known = packageOf(id);
      if (known && existsSync(join(known.folder, 'package.json'))) found.set(known.name, known.folder);
    }
  };
  const collector = (name: string): Plugin => ({
    name,
    apply: 'build',
    // style sheets and fonts leave no module behind in a chunk, but they are all parsed
    moduleParsed: info => collect([info.id]),
  });
  return {
    worker: () => collector('notices-of-workers'),
    page: {
      ...collector('notices'),
      generateBundle() {
        const packages = [...found]
          .sort(([a], [b]) => a.localeCompare(b))
          .map(([name, folder]) => packageNotice(name, folder));
        const own = `Comb & Coil\n\n${readFileSync(join(root, 'LICENCE'), 'utf8').trim()}`;
        const source = [own, ...sampleNotices(), ...packages].join(`\n\n${'-'.repeat(78)}\n\n`);
        this.emitFile({ type: 'asset', fileName: 'notices.txt', source: `${source}\n` });
      },
    },
  };
}
