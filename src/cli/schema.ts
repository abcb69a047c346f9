/** The build's JSON Schema from its one source; `npm run schema` writes it to `shared/document/build.schema.json`. */
import { toJsonSchema } from '@valibot/to-json-schema';
import { BuildSchema } from '../../shared/document/build.ts';

/** Text of the published file. Checks that cross parts (ids that must exist, places on the strings) are not in it. */
export function buildJsonSchema(): string {
  // Finite numbers are all that JSON has, so that check says nothing there.
  const schema = toJsonSchema(BuildSchema, { typeMode: 'input', ignoreActions: ['finite'] });
  return `${JSON.stringify({ ...schema, title: 'Comb & Coil build, version 1' }, null, 2)}\n`;
}
