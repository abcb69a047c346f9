/**
 * The field model by brute force: charges on the faces one by one, |B|² by Coulomb's law, its fall with height as a
 * difference, summed over the string. Nothing of `field.ts` is used.
 */

const mm = 1e-3;

function squared(poles: readonly number[], radius: number, x: number, y: number, z: number): number {
  const [rings, spokes] = [12, 24];
  const b = [0, 0, 0];
  for (const pole of poles)
    for (let i = 0; i < rings; i++)
      for (let j = 0; j < spokes; j++) {
        const r = radius * Math.sqrt((i + 0.5) / rings);
        const a = (2 * Math.PI * (j + 0.5 * (i % 2))) / spokes;
        const [dx, dy] = [x - r * Math.cos(a), y - pole - r * Math.sin(a)];
        const q = (dx * dx + dy * dy + z * z) ** -1.5;
        b[0] += q * dx;
        b[1] += q * dy;
        b[2] += q * z;
      }
  return b[0] ** 2 + b[1] ** 2 + b[2] ** 2;
}
/** Level of a string `gap` over round poles, `y` beside the middle of the coil, turned by `angle`. */
export function levelOfCharges(poles: readonly number[], size: number, gap: number, y: number, angle: number): number {
  const z = gap + size / 2;
  const [step, h] = [0.3 * mm, 0.02 * mm];
  let sum = 0;
  for (let u = -60 * mm; u <= 60 * mm; u += step) {
    const [x, across] = [u * Math.cos(angle), y + u * Math.sin(angle)];
    sum += squared(poles, size / 2, x, across, z - h) - squared(poles, size / 2, x, across, z + h);
  }
  return sum;
}
