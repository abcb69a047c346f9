import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { RANGE } from '../../shared/document/build.ts';
import { buildJsonSchema } from '../../src/cli/schema.ts';

const published = readFileSync(new URL('../../shared/document/build.schema.json', import.meta.url), 'utf8');

describe('the published JSON Schema', () => {
  test('is the one of the code: else run `npm run schema`', () => {
    expect(published).toBe(buildJsonSchema());
  });

  test('carries the accepted ranges', () => {
    const pickup = JSON.parse(published).properties.pickups.items;
    expect(pickup.properties.position).toMatchObject({
      type: 'number',
      minimum: RANGE.position[0],
      maximum: RANGE.position[1],
    });
    expect(pickup.required).toContain('position');
    expect(pickup.properties.coils.items.properties.resistance.maximum).toBe(RANGE.resistance[1]);
  });
});
