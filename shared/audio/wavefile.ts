/**
 * The `wavefile` library, typed and importable everywhere. Its file is CommonJS marked as an ES module without a default
 * export: bundlers hand out its names, Node hands out one default object. Hence the namespace import and the question.
 */
import * as library from 'wavefile/dist/wavefile.js';

const names = library as typeof library & { default?: typeof library };

export const WaveFile = names.WaveFile ?? names.default?.WaveFile;
