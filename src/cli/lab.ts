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
  // what is no failure of the person's is a fault of ours: one line that can be reported; its trail only when asked for
  const own = error instanceof Failure;
  const text = error instanceof Error ? error.message : String(error);
  const trail = process.env.LAB_TRACE && error instanceof Error ? `\n${error.stack}` : ' (LAB_TRACE=1 shows where)';
  process.stderr.write(own ? `${text}\n` : `lab failed, which it should not: ${text}${trail}\n`);
  process.exitCode = own ? 2 : 1;
}
