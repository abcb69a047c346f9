/** Writes `shared/document/build.schema.json`. */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { buildJsonSchema } from './schema.ts';

writeFileSync(fileURLToPath(new URL('../../shared/document/build.schema.json', import.meta.url)), buildJsonSchema());
