/** The shape of a take: the largest magnitude over all its strings in each of `columns` stretches, 0 to 1. Pure. */
export function envelope(channels: readonly Float32Array[], columns: number): Float32Array {
  const shape = new Float32Array(columns);
  const length = channels.reduce((most, channel) => Math.max(most, channel.length), 0);
  let top = 0;
  for (let c = 0; c < columns; c++) {
    const from = Math.floor((c * length) / columns);
    const to = Math.max(from + 1, Math.floor(((c + 1) * length) / columns));
    for (const channel of channels)
      for (let i = from; i < Math.min(to, channel.length); i++) shape[c] = Math.max(shape[c], Math.abs(channel[i]));
    top = Math.max(top, shape[c]);
  }
  if (top > 0) for (let c = 0; c < columns; c++) shape[c] = Math.sqrt(shape[c] / top);
  return shape;
}

/** The closed outline of a shape in a box `width` × `height`, as an SVG path: mirrored about the middle. */
export function outline(shape: Float32Array, width: number, height: number): string {
  if (shape.length === 0) return '';
  const half = height / 2;
  const step = width / shape.length;
  let upper = '';
  let lower = '';
  for (let c = 0; c < shape.length; c++) {
    const x = ((c + 0.5) * step).toFixed(1);
    const y = Math.max(0.4, shape[c] * (half - 1));
    upper += `${c ? 'L' : 'M'}${x} ${(half - y).toFixed(1)}`;
    lower = `L${x} ${(half + y).toFixed(1)}${lower}`;
  }
  return `${upper}${lower}Z`;
}
