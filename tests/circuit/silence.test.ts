import { describe, expect, test } from 'vitest';
import { fromNotation } from '../../shared/circuit/schemes.ts';
import { silence } from '../../shared/circuit/silence.ts';
import type { Build, Fixed } from '../../shared/document/build.ts';
import { demoBuilds } from '../../shared/document/starting/starting-builds.ts';

const [demo] = demoBuilds();
const made = fromNotation('HSS', demo.instrument);
if (!made) throw new Error('HSS is a configuration');
const build: Build = { ...demo, ...made, outputs: [{ ...demo.outputs[0], id: 'out' }] };
const wired = (change: Partial<Build['harness']>): Build => ({ ...build, harness: { ...build.harness, ...change } });
/** A resistor from the selector's common contact to ground. */
const resistor = (id: string, value: number): Fixed => ({
  id,
  kind: 'resistor',
  value,
  from: { at: 'selector', output: 'out' },
  to: { at: 'ground' },
});
const volume = (setting: number) =>
  build.harness.controls.map(c => (c.volume ? { ...c, volume: { ...c.volume, setting } } : c));

describe('why a harness is silent', () => {
  test('one that sounds has no cause, in any position', () => {
    for (let selected = 0; selected < 5; selected++) expect(silence(wired({ selected }))).toBeNull();
    // a load that takes level, but not all of it
    expect(silence(wired({ fixed: [resistor('load', 220e3)] }))).toBeNull();
  });

  test('a short is found among other parts', () => {
    const fixed = [resistor('load', 220e3), resistor('short', 1e-3)];
    expect(silence(wired({ fixed }))).toEqual({ kind: 'fixed', index: 1 });
  });

  test('a volume control at zero is named', () => {
    expect(silence(wired({ controls: volume(0) }))).toEqual({ kind: 'volume', index: 0 });
    expect(silence(wired({ controls: volume(0.3) }))).toBeNull();
  });

  test('a position without pickups is open', () => {
    const positions = [{ label: 'off', join: 'parallel' as const, taps: [] }, ...build.harness.positions];
    expect(silence(wired({ positions, selected: 0 }))).toEqual({ kind: 'open' });
    expect(silence(wired({ positions, selected: 1 }))).toBeNull();
  });

  test('coils that cancel are not silent: each by itself is heard', () => {
    const positions = build.harness.positions.map(p => ({ ...p, taps: p.taps.map(t => ({ ...t, antiphase: true })) }));
    expect(silence(wired({ positions, selected: 0 }))).toBeNull();
  });
});
