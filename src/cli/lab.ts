/** The command line: runs one command, prints, sets the exit code. */
import { installEngine } from '../../shared/audio/binary.ts';
import { compiledEngine } from '../bundling/engine-binary.ts';
import { run } from './commands.ts';
import { Failure } from './failure.ts';

// A reader that has seen enough (head) closes the pipe: no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 1));
installEngine(await compiledEngine());
try {
  const { out, notes } = run(process.argv.slice(2));
  process.stdout.write(out);
  if (notes) process.stderr.write(notes);
} catch (error) {
  if (!(error instanceof Failure)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 2;
}
