/**
 * Draws the mutants that are tried where a part is too large to try them all: MUTANTS_SHARE of them, the same ones every time,
 * by a hash of what each is. Those not drawn are set aside as if they did not compile, and count nowhere.
 */
import { createHash } from 'node:crypto';

const share = Number(process.env.MUTANTS_SHARE ?? 1);

const drawn = ({ fileName, location: { start }, mutatorName, replacement }) => {
  const name = [fileName.replace(/^.*\/shared\//, ''), start.line, start.column, mutatorName, replacement].join(' ');
  return createHash('sha256').update(name).digest().readUInt32BE() < share * 2 ** 32;
};

const create = () => ({
  init: async () => {},
  group: async mutants => [mutants.map(({ id }) => id)],
  check: async mutants =>
    Object.fromEntries(
      mutants.map(mutant => [
        mutant.id,
        drawn(mutant) ? { status: 'passed' } : { status: 'compileError', reason: 'not drawn' },
      ]),
    ),
});

export const strykerPlugins = [{ kind: 'Checker', name: 'sample', factory: create }];
