/** Before each test file: hands the engine's binary to this thread. */
import { installEngine } from '../shared/audio/binary.ts';
import { compiledEngine } from '../src/bundling/engine-binary.ts';

installEngine(await compiledEngine());
