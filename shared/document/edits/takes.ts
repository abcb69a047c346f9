/** The take follows the instrument: one that cannot be played on it gives way to one that can. */
import { type Manifest, misfit, takesFor } from '../../take/manifest.ts';
import type { Sheet } from '../sheet.ts';
import { buildOf, type EditedSheet } from './builds.ts';
import { chooseTake } from './sheet.ts';

/** `edited` with another take where its instrument changed and the chosen one cannot be played on it; own takes stay. */
export function withFittingTake(before: Sheet, edited: EditedSheet, manifest: Manifest): EditedSheet {
  const { sheet, went } = edited;
  const { instrument } = buildOf(sheet, sheet.view.heard);
  const take = manifest.takes.find(one => one.id === sheet.take);
  if (!take || sheet.view.heard !== before.view.heard) return edited;
  if (instrument === buildOf(before, before.view.heard).instrument) return edited;
  if (misfit(manifest, take, instrument) === null) return edited;
  // what is written for few kinds of instrument suits one of them best
  const [fitting] = takesFor(manifest, instrument).toSorted((a, b) => a.families.length - b.families.length);
  if (!fitting) return edited;
  const chosen = chooseTake(sheet, fitting.id);
  return { sheet: chosen.sheet, went: [...went, { kind: 'take', name: take.name, instead: fitting.name }] };
}
