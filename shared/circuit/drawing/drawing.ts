/**
 * The schematic of a build, laid out from its network: every part of the network, for any harness that can be made.
 *
 * The parts become a row of items in the order of the signal (`signal-items.ts`): coils, controls, jack, cable, buffer,
 * input. Rows are as wide as asked; where a line goes on in another row it ends in a flag with a letter. Within a row
 * every net that joins several pins at the top gets a horizontal track on the rail or above it, every net that joins
 * several at the bottom one below the items, ground the last of all; a net that has both gets one vertical wire between
 * them. Tracks are given by the left-edge rule of channel routing (Hashimoto and Stevens, 8th Design Automation Workshop,
 * 1971), so lines of different nets cross but never run on each other.
 */
import type { Build } from '../../document/build.ts';
import { harnessNetwork } from '../harness.ts';
import { drawRow } from './draw-row.ts';
import type { Drawing, DrawnFrame, DrawnLabel, DrawnPin, DrawnSymbol, DrawnWire, Weight } from './drawing-parts.ts';
import { drawnNets, isConnection, isNothing, pathNets } from './drawn-nets.ts';
import type { Context, Pen } from './item.ts';
import { MARGIN, rowsOf } from './rows.ts';
import { itemsOf } from './signal-items.ts';

export type { Drawing, DrawnLabel, DrawnWire } from './drawing-parts.ts';
export { drawnNets } from './drawn-nets.ts';

/**
 * The schematic of the heard selector position, rows at most `width` px wide where that can be. Throws `CircuitError`
 * as `harnessNetwork` does.
 */
export function drawSchematic(build: Build, width: number): Drawing {
  const network = harnessNetwork(build, true);
  const net = drawnNets(network);
  const path = pathNets(network, net, network.outputs);
  const context: Context = { build, net, weight: n => (path.has(n) ? 'path' : 'normal') };
  const rows = rowsOf(context, itemsOf(build, context, network), width);
  const symbols: DrawnSymbol[] = [];
  const wires: DrawnWire[] = [];
  const dots: (DrawnPin & { weight: Weight })[] = [];
  const labels: DrawnLabel[] = [];
  const frames: DrawnFrame[] = [];
  const pen: Pen = {
    symbol: s => symbols.push(s),
    wire: w => wires.push(w),
    dot: (n, x, y, weight) => dots.push({ net: n, x, y, weight }),
    label: l => labels.push(l),
    frame: f => frames.push(f),
  };
  let y = 0;
  for (const row of rows) y = drawRow(context, row, y, width, pen);
  const right = Math.max(
    width,
    ...symbols.map(s => s.box.x + s.box.width + MARGIN),
    ...labels.map(l => l.box.x + l.box.width + 2),
  );
  return {
    width: right,
    height: y + 4,
    symbols,
    wires,
    dots,
    labels,
    frames,
    plain: network.elements.filter(e => isConnection(e) || isNothing(e)).map(e => e.id),
  };
}
