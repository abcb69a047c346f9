/**
 * Fractional-octave smoothing and bands. Band centres and edges are those of IEC 61260-1 (2014), base 10: G = 10^0.3.
 */

const G = 10 ** 0.3;

/** Centre (Hz) of band `index` of 1/`fraction`-octave bands; for odd fractions, index 0 is the band at 1 kHz. */
export const bandCentre = (index: number, fraction: number): number =>
  1000 * G ** (fraction % 2 === 1 ? index / fraction : (2 * index + 1) / (2 * fraction));

/** Lower and upper edge (Hz) of the 1/`fraction`-octave band around `centre`. */
export const bandEdges = (centre: number, fraction: number): [number, number] => {
  const half = G ** (1 / (2 * fraction));
  return [centre / half, centre * half];
};

/** Centres of all bands that lie between two frequencies (Hz). */
export function bandsBetween(low: number, high: number, fraction: number): Float64Array {
  const place = (f: number) => (fraction * Math.log(f / 1000)) / Math.log(G) - (fraction % 2 === 1 ? 0 : 0.5);
  const first = Math.ceil(place(low) - 1e-9);
  const last = Math.floor(place(high) + 1e-9);
  return Float64Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => bandCentre(first + i, fraction));
}

/** ∫ power df from the first frequency on, at each frequency, with straight lines between. */
function integral(frequencies: Float64Array, power: Float64Array): Float64Array {
  const sum = new Float64Array(power.length);
  for (let i = 1; i < power.length; i++) {
    sum[i] = sum[i - 1] + ((power[i] + power[i - 1]) / 2) * (frequencies[i] - frequencies[i - 1]);
  }
  return sum;
}

/**
 * Mean of a power (|H|², never dB) over [f·2^(−1/2N), f·2^(1/2N)] at each frequency f, N = `fraction` (3 for third octaves).
 * Frequencies rise, in any spacing. Bands are cut at the ends of the list; where the band is narrower than the spacing,
 * straight lines are averaged, so the curve only gets interpolated.
 */
export function smoothPower(frequencies: Float64Array, power: Float64Array, fraction: number): Float64Array {
  const n = power.length;
  if (n < 2) return power.slice();
  const sum = integral(frequencies, power);
  const half = 2 ** (1 / (2 * fraction));
  const out = new Float64Array(n);
  // Both edges only move up with f, so each walks through the list once.
  let lower = 0;
  let upper = 0;
  const upTo = (f: number, i: number): number => {
    const x = f - frequencies[i];
    const slope = (power[i + 1] - power[i]) / (frequencies[i + 1] - frequencies[i]);
    return sum[i] + x * (power[i] + (slope * x) / 2);
  };
  for (let i = 0; i < n; i++) {
    const from = Math.max(frequencies[0], frequencies[i] / half);
    const to = Math.min(frequencies[n - 1], frequencies[i] * half);
    while (lower < n - 2 && frequencies[lower + 1] <= from) lower++;
    while (upper < n - 2 && frequencies[upper + 1] <= to) upper++;
    // Differences of large sums may come out a rounding error below 0.
    out[i] = to > from ? Math.max(0, (upTo(to, upper) - upTo(from, lower)) / (to - from)) : power[i];
  }
  return out;
}

/**
 * Mean of `p` over [f 2^(−1/2n), f 2^(1/2n)] around every f of the ascending list `at`; n = 0: the value there. Between
 * the frequencies of `p` on a straight line, 0 outside them.
 */
export function smoothed(f: Float64Array, p: Float64Array, at: Float64Array, n: number): Float64Array {
  const power = n === 0 ? p : smoothPower(f, p, n);
  if (at === f) return power;
  let i = 0;
  return at.map(x => {
    if (x < f[0] || x > f[f.length - 1]) return 0;
    while (i + 2 < f.length && f[i + 1] <= x) i++;
    return power[i] + ((x - f[i]) / (f[i + 1] - f[i])) * (power[i + 1] - power[i]);
  });
}
