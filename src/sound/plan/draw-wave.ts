/** The partial that is looked at as a standing wave on its string, with its nodes. */
import { nothing, svg } from 'lit';
import type { Build } from '../../../shared/document/build.ts';
import { stringAt, stringLine } from '../../../shared/sensor/placement.ts';
import { view } from '../../state/page.ts';
import { type Frame, px, toScreen } from './frame.ts';
import { fretPoint } from './fretboard.ts';
import { nodes, nodesOverCoils, speakingLength, wavePath } from './standing-wave.ts';

export function drawWave(frame: Frame, build: Build, index: number) {
  const { instrument } = build;
  const { partial } = view.value;
  const fret = Math.min(view.value.fret, instrument.frets);
  const { saddle } = stringLine(instrument, index);
  const length = speakingLength(instrument, index, fret);
  const over = new Set(nodesOverCoils(build, index, fret, partial).map(n => n.node));
  const stop = toScreen(frame, fretPoint(instrument, index, fret));
  return svg`
    <path class="wave" d=${wavePath(frame, instrument, index, fret, partial)}></path>
    ${nodes(length, partial).map((at, i) => {
      const x = saddle.x + at;
      if (x * frame.scale > frame.width) return nothing;
      const y = frame.centre - stringAt(instrument, index, x) * frame.scale;
      return svg`<circle class="node ${over.has(i + 1) ? 'over' : ''}" cx=${px(x * frame.scale)} cy=${px(y)}
        r=${px((over.has(i + 1) ? 4.5 : 2.6) * frame.unit)}></circle>`;
    })}
    ${fret > 0 && stop.x < frame.width ? svg`<circle class="stop" cx=${px(stop.x)} cy=${px(stop.y)} r=${px(4 * frame.unit)}></circle>` : nothing}`;
}
