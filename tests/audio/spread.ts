/** How much of a signal lies outside a band around a sine, for the tests of clicks. */
import { powerOfTwo, RealFft } from '../../shared/audio/fft.ts';

/**
 * The largest line outside `frequency` ± `width` Hz against the sine's own, dB, in windows of a quarter of a second
 * (four-term Blackman–Harris, side lobes at −92 dB: F. J. Harris, Proc. IEEE 66 (1978) 51), half overlapping.
 */
export function spreadOutside(x: Float32Array, frequency: number, width: number, sampleRate: number): number {
  const size = powerOfTwo(sampleRate / 4);
  const fft = new RealFft(size);
  const out = fft.spectrum();
  const a = [0.35875, -0.48829, 0.14128, -0.01168];
  let sineLine = 0;
  let outside = 0;
  for (let start = 0; start + size <= x.length; start += size / 2) {
    const windowed = Float64Array.from({ length: size }, (_, i) => {
      const t = (2 * Math.PI * i) / size;
      return x[start + i] * (a[0] + a[1] * Math.cos(t) + a[2] * Math.cos(2 * t) + a[3] * Math.cos(3 * t));
    });
    fft.forward(out, windowed);
    for (let k = 0; k < fft.bins; k++) {
      const magnitude = Math.hypot(out.re[k], out.im[k]);
      if (Math.abs((k * sampleRate) / size - frequency) > width) outside = Math.max(outside, magnitude);
      else sineLine = Math.max(sineLine, magnitude);
    }
  }
  return 20 * Math.log10(outside / sineLine);
}
