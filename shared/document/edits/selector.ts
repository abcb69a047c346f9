/** Edits of the selector: its positions and what each connects. `position` and `tap` are indices. */
import { sameTap } from '../../circuit/harness.ts';
import { usualTap } from '../../circuit/usual.ts';
import { type Build, type Harness, MOST, type Position, type Tap } from '../build.ts';
import { changedAt, moved, withoutAt } from './lists.ts';
import { type Edited, settle } from './settle.ts';

const edited = (build: Build, change: (harness: Harness) => Harness): Edited => {
  const harness = change(build.harness);
  return settle(build, harness === build.harness ? build : { ...build, harness });
};
const changePosition = (build: Build, position: number, change: (position: Position) => Position): Edited =>
  edited(build, h => ({ ...h, positions: changedAt(h.positions, position, change) }));

/** A position that is not there changes nothing. */
export const selectPosition = (build: Build, position: number): Edited =>
  edited(build, h =>
    position >= 0 && position < h.positions.length && position !== h.selected ? { ...h, selected: position } : h,
  );

/** One position more, with the first pickup, and selected. */
export const addPosition = (build: Build, label: string): Edited =>
  edited(build, h => {
    if (h.positions.length >= MOST.positions) return h;
    const taps = [usualTap(build.pickups[0].id, build.outputs[0].id)];
    return { ...h, positions: [...h.positions, { label, join: 'parallel', taps }], selected: h.positions.length };
  });

/** Without a position; the last one stays. */
export const removePosition = (build: Build, position: number): Edited =>
  edited(build, h => {
    if (h.positions.length < 2 || position < 0 || position >= h.positions.length) return h;
    const positions = withoutAt(h.positions, position);
    const selected = h.selected > position ? h.selected - 1 : Math.min(h.selected, positions.length - 1);
    return { ...h, positions, selected };
  });

/** The selected position stays selected. */
export const movePosition = (build: Build, position: number, by: number): Edited =>
  edited(build, h => {
    const positions = moved(h.positions, position, by);
    if (positions === h.positions) return h;
    return { ...h, positions, selected: positions.indexOf(h.positions[h.selected]) };
  });

/** Connects a pickup whole, or not at all. */
export const connect = (build: Build, position: number, pickup: string, on: boolean): Edited =>
  changePosition(build, position, p => {
    const has = p.taps.some(t => t.pickup === pickup);
    if (on === has || (on && p.taps.length >= MOST.taps)) return p;
    return {
      ...p,
      taps: on ? [...p.taps, usualTap(pickup, build.outputs[0].id)] : p.taps.filter(t => t.pickup !== pickup),
    };
  });

/** Changes how a pickup is connected; where the same connection goes to two outputs it stays one connection. */
export const setTap = (build: Build, position: number, tap: number, change: Partial<Omit<Tap, 'pickup'>>): Edited =>
  changePosition(build, position, p => {
    const own = p.taps[tap];
    if (!own) return p;
    const { output, ...how } = change;
    const twin = (t: Tap): boolean => t.pickup === own.pickup && sameTap(t, own);
    return {
      ...p,
      taps: p.taps.map((t, i) =>
        i === tap ? { ...t, ...how, output: output ?? t.output } : twin(t) ? { ...t, ...how } : t,
      ),
    };
  });
