/** Single parts, tone controls and coils as items. */

import { LINE, type Weight } from './drawing-parts.ts';
import { BODY, twoPole } from './drawing-symbols.ts';
import {
  AXIS,
  type Context,
  type Item,
  isGround,
  LEAD,
  linesWidth,
  named,
  railLabels,
  symbolOf,
  type TwoPole,
  valueLine,
} from './item.ts';
import { column, flipped, leaf, type Tree } from './standing.ts';

/** A part that lies on the rail between the nets at its left and at its right. */
export function lying(context: Context, element: TwoPole, left: string, right: string, name = ''): Item {
  const symbol = symbolOf(element);
  const lines = named(name, valueLine(context.build, element));
  const width = Math.max(BODY[symbol] + 2 * LEAD + 6, linesWidth(lines) + 10);
  return {
    width,
    height: 30 + lines.length * LINE,
    blocks: [{ from: 0, to: width, net: null }],
    pins: [
      { net: context.net(left), x: 0, side: 'rail' },
      { net: context.net(right), x: width, side: 'rail' },
    ],
    draw(x, row, pen) {
      const weight =
        context.weight(context.net(left)) === 'path' && context.weight(context.net(right)) === 'path'
          ? 'path'
          : 'normal';
      pen.symbol({
        ...twoPole(symbol, x, row.rail, x + width, row.rail),
        kind: symbol,
        parts: [element.id],
        weight,
        pins: [
          { net: context.net(left), x, y: row.rail },
          { net: context.net(right), x: x + width, y: row.rail },
        ],
      });
      railLabels(x + width / 2, width, lines, row, pen);
    },
  };
}

/** A part from a net to ground, or lying on the rail between two nets. */
export function single(context: Context, element: TwoPole, name = ''): Item {
  const [a, b] = [element.a, element.b];
  if (isGround(context, b)) return column(context, leaf(context, element, a, b, name));
  if (isGround(context, a)) return column(context, leaf(context, element, b, a, name));
  return lying(context, element, a, b, name);
}

/** A variable resistor and a capacitor in series to ground. */
export function toneColumn(context: Context, track: TwoPole, capacitor: TwoPole, name: string): Item {
  return column(context, {
    kind: 'series',
    parts: [
      leaf(context, track, track.a, track.b, name, 'rheostat'),
      leaf(context, capacitor, capacitor.a, capacitor.b),
    ],
  });
}

/** The parts of one coil. */
export interface CoilParts {
  emf: TwoPole;
  inductor: TwoPole;
  resistor: TwoPole;
  capacitor: TwoPole;
  eddy: TwoPole | null;
  /** Ladder: inductances and the resistances across them, from the core outwards. */
  sections: { inductor: TwoPole; resistor: TwoPole }[];
  title: string;
}

/** A coil standing between its two ends; `up`: its hot end is at the top. */
export function coilColumn(context: Context, coil: CoilParts, up: boolean, weight: Weight): Item {
  const { emf, inductor, eddy, sections, resistor, capacitor } = coil;
  const core: Tree = {
    kind: 'series',
    parts: [leaf(context, inductor, inductor.b, inductor.a), leaf(context, emf, emf.a, emf.b)],
  };
  const damped: Tree = eddy ? { kind: 'parallel', parts: [core, leaf(context, eddy, eddy.a, eddy.b)] } : core;
  const main: Tree = {
    kind: 'series',
    parts: [
      leaf(context, resistor, resistor.b, resistor.a),
      ...[...sections].reverse().map(
        (s): Tree => ({
          kind: 'parallel',
          parts: [
            leaf(context, s.inductor, s.inductor.b, s.inductor.a),
            leaf(context, s.resistor, s.resistor.b, s.resistor.a),
          ],
        }),
      ),
      damped,
    ],
  };
  const whole: Tree = { kind: 'parallel', parts: [main, leaf(context, capacitor, capacitor.a, capacitor.b)] };
  return column(context, up ? whole : flipped(whole), weight, coil.title);
}

/** A coil spread along the rail: source standing, inductance and resistance lying, capacitance standing. */
export const coilSpread = (context: Context, coil: CoilParts): Item[] => [
  { ...column(context, leaf(context, coil.emf, coil.emf.a, coil.emf.b)), width: 2 * AXIS + 6 },
  lying(context, coil.inductor, coil.inductor.a, coil.inductor.b),
  ...(coil.eddy ? [single(context, coil.eddy, 'loss')] : []),
  lying(context, coil.resistor, coil.resistor.a, coil.resistor.b),
  single(context, coil.capacitor),
];
