/** A small RIFF file of whole chunks, for the library to read. */
export function riff(container: string, parts: [string, Uint8Array][], bigEndian: boolean): Uint8Array {
  const size = parts.reduce((sum, [, b]) => sum + 8 + b.length + (b.length % 2), 12);
  const out = new Uint8Array(size);
  const view = new DataView(out.buffer);
  const letters = (at: number, s: string) => {
    for (let i = 0; i < 4; i++) out[at + i] = s.charCodeAt(i);
  };
  letters(0, container);
  view.setUint32(4, size - 8, !bigEndian);
  letters(8, 'WAVE');
  let at = 12;
  for (const [id, bytes] of parts) {
    letters(at, id);
    view.setUint32(at + 4, bytes.length, !bigEndian);
    out.set(bytes, at + 8);
    at += 8 + bytes.length + (bytes.length % 2);
  }
  return out;
}
