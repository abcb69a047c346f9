import { describe, expect, test } from 'vitest';
import { setBlend, setBlendEnd } from '../../../shared/document/edits/blend.ts';
import { addPickup } from '../../../shared/document/edits/pickups.ts';
import { settle } from '../../../shared/document/edits/settle.ts';
import { demoBass } from '../../../shared/document/starting/starting-builds.ts';

const start = () => {
  let { build } = settle(demoBass(), { ...demoBass(), harness: { ...demoBass().harness, blend: null } });
  while (build.pickups.length < 3) build = addPickup(build, 'single-rods').build;
  return build;
};

describe('the blend pot', () => {
  test('goes between the first two pickups, and out again', () => {
    const build = start();
    const [a, b] = build.pickups.map(({ id }) => id);
    const on = setBlend(build, true).build;
    expect(on.harness.blend).toMatchObject({ from: a, to: b });
    expect(setBlend(on, true).build).toBe(on);
    expect(setBlend(on, false).build.harness.blend).toBeNull();
  });

  test('an end goes to another pickup; to the other end’s, they change places', () => {
    const build = start();
    const [a, b, c] = build.pickups.map(({ id }) => id);
    const on = setBlend(build, true).build;
    expect(setBlendEnd(on, 'to', c).build.harness.blend).toMatchObject({ from: a, to: c });
    expect(setBlendEnd(on, 'from', b).build.harness.blend).toMatchObject({ from: b, to: a });
    expect(setBlendEnd(on, 'to', a).build.harness.blend).toMatchObject({ from: b, to: a });
    expect(setBlendEnd(build, 'to', c).build).toBe(build);
  });

  test('of a pickup with itself is taken out, and that is said', () => {
    const on = setBlend(start(), true).build;
    const { from } = on.harness.blend!;
    const settled = settle(on, { ...on, harness: { ...on.harness, blend: { ...on.harness.blend!, to: from } } });
    expect(settled.build.harness.blend).toBeNull();
    expect(settled.went).toContainEqual({ kind: 'blend' });
  });
});
