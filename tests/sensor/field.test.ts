/**
 * The pole pieces' field against closed forms of small poles and thin rails, against charges summed one by one, and
 * against a whole magnet in a coil by Coulomb's and Biot and Savart's laws.
 */
import { describe, expect, test } from 'vitest';
import { type Faces, faceDepth, fieldWindow, type Over } from '../../shared/sensor/field.ts';

const mm = 1e-3;
const db = (x: number) => 20 * Math.log10(x);
const disc = (size: number, at: number[] = [0]): Faces => ({ shape: 'disc', size, length: 0, at });
const bar = (size: number, length: number, at: number[] = [0]): Faces => ({ shape: 'bar', size, length, at });
const above = (z: number, y = 0, angle = 0): Over => ({ y, angle, z });

/** Where a falling function crosses `level`. */
function crossing(f: (x: number) => number, level: number, low: number, high: number): number {
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (f(middle) > level) low = middle;
    else high = middle;
  }
  return low;
}

// The derived closed forms, each equal to the integral of its sensitivity.
describe('a pole that is small against its depth', () => {
  const h = 5 * mm;
  const pole = fieldWindow(disc(0.02 * mm), above(h));

  test('window e^−u (1 + u + u²/3): value, half power, half, no null', () => {
    expect(pole.even(1.3 / h)).toBeCloseTo(0.780349, 5);
    expect(crossing(u => pole.even(u / h), Math.SQRT1_2, 0.1, 5)).toBeCloseTo(1.564661, 4);
    expect(crossing(u => pole.even(u / h), 0.5, 0.1, 5)).toBeCloseTo(2.330256, 4);
    for (let u = 0; u < 6; u += 0.05)
      expect(Math.abs(pole.even(u / h) - Math.exp(-u) * (1 + u + (u * u) / 3))).toBeLessThan(5e-6);
    expect(pole.odd(300)).toBeCloseTo(0, 12);
  });

  test('full width at half maximum 2 √(2^(1/3) − 1) h', () =>
    expect(pole.extent / h).toBeCloseTo(2 * Math.sqrt(2 ** (1 / 3) - 1), 5));

  test('level falls with the fourth power of the depth: 34.74/h dB per mm', () => {
    const slope =
      (db(fieldWindow(disc(0.02 * mm), above(5.99 * mm)).area) -
        db(fieldWindow(disc(0.02 * mm), above(6.01 * mm)).area)) /
      0.02;
    expect(slope).toBeCloseTo(5.791, 3);
    expect(db(fieldWindow(disc(0.02 * mm), above(h, 3 * mm)).area / pole.area)).toBeCloseTo(
      -2.5 * 20 * Math.log10(1.36),
      3,
    );
  });

  test('motion to the side gives y/h of motion up and down', () => {
    for (const y of [-3, 0, 1, 4])
      expect(fieldWindow(disc(0.02 * mm), above(h, y * mm)).sideways).toBeCloseTo(y / 5, 4);
  });
});

describe('a thin rail', () => {
  const h = 6 * mm;
  const long = fieldWindow(bar(0.02 * mm, 20), above(h));

  test('long: window e^−u (1 + u), half power, 1.2872 h wide, 17.37/h dB per mm', () => {
    expect(long.even(1.3 / h)).toBeCloseTo(0.626823, 4);
    expect(crossing(u => long.even(u / h), Math.SQRT1_2, 0.1, 5)).toBeCloseTo(1.07796, 3);
    expect(long.extent / h).toBeCloseTo(2 * Math.sqrt(Math.SQRT2 - 1), 4);
    const level = (z: number) => db(fieldWindow(bar(0.02 * mm, 20), above(z * mm)).area);
    expect((level(5.99) - level(6.01)) / 0.02).toBeCloseTo(2.895, 2);
    expect(fieldWindow(bar(0.02 * mm, 20), above(h, 4 * mm)).sideways).toBeCloseTo(0, 4);
  });

  test('of 52 mm, its charge 3.5 mm down: a gap of 1.5 instead of 2.5 mm is 3.2 dB, low E at 5 kHz −5.4 dB', () => {
    const rail = (gap: number) => fieldWindow(bar(0.02 * mm, 52 * mm), above((gap + 3.5) * mm));
    expect(db(rail(1.5).area / rail(2.5).area)).toBeCloseTo(3.2, 1);
    expect(rail(2.5).extent / mm).toBeCloseTo(7.7, 1);
    // k of a low E at 5 kHz with B = 8.1e-5 is 264.2 rad/m
    expect(db(rail(2.5).even(264.2))).toBeCloseTo(-5.4, 1);
    const pole = fieldWindow(disc(0.02 * mm), above(6 * mm));
    expect(db(fieldWindow(disc(0.02 * mm), above(5 * mm)).area / pole.area)).toBeCloseTo(6.3, 1);
    expect(db(pole.even(264.2))).toBeCloseTo(-3.1, 1);
  });
});

type Vector = [number, number, number];
/** Point charges [x, y, q] that stand for faces: Gauss's rule over the radius squared or the sides, even steps round. */
const GAUSS: [number, number][] = (() => {
  // nodes and weights on 0…1, 12 points, by Newton's iteration on the Legendre polynomial
  const n = 12;
  return Array.from({ length: n }, (_, i) => {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let round = 0; round < 20; round++) {
      let [p, q] = [1, 0];
      for (let j = 0; j < n; j++) [p, q] = [((2 * j + 1) * x * p - j * q) / (j + 1), p];
      slope = (n * (x * p - q)) / (x * x - 1);
      x -= p / slope;
    }
    return [(1 + x) / 2, 1 / ((1 - x * x) * slope * slope)] as [number, number];
  });
})();
function charges({ shape, size, length, at }: Faces): Vector[] {
  const round = 32;
  return at.flatMap(centre =>
    GAUSS.flatMap(([s, w]) =>
      shape === 'disc'
        ? Array.from({ length: round }, (_, i): Vector => {
            const t = (2 * Math.PI * (i + 0.5)) / round;
            const r = (size / 2) * Math.sqrt(s);
            return [r * Math.cos(t), centre + r * Math.sin(t), w / round];
          })
        : GAUSS.flatMap(([s2, w2]) =>
            // a long side in parts, so that the rule is exact close above it
            Array.from(
              { length: 6 },
              (_, i): Vector => [(s - 0.5) * size, centre + ((i + s2) / 6 - 0.5) * length, (w * w2) / 6],
            ),
          ),
    ),
  );
}
function fieldOf(list: readonly Vector[], x: number, y: number, z: number): Vector {
  const b: Vector = [0, 0, 0];
  for (const [cx, cy, q] of list) {
    const [dx, dy] = [x - cx, y - cy];
    const r3 = (dx * dx + dy * dy + z * z) ** 1.5;
    b[0] += (q * dx) / r3;
    b[1] += (q * dy) / r3;
    b[2] += (q * z) / r3;
  }
  return b;
}
const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** −d/dh of a function, fourth order. */
const falling = (f: (h: number) => number, h: number, e: number) =>
  (8 * (f(h - e) - f(h + e)) - (f(h - 2 * e) - f(h + 2 * e))) / (12 * e);

describe('against charges summed one by one', () => {
  const cases: [string, Faces, Over][] = [
    ['a rod over its middle', disc(4.8 * mm), above(4.9 * mm)],
    ['a rod, string 2.4 mm beside it', disc(4.8 * mm), above(4.9 * mm, 2.4 * mm)],
    ['a wide rod close by, string over its edge', disc(9.5 * mm), above(3 * mm, 4.75 * mm)],
    ['two rods of one string under a turned coil', disc(5.2 * mm, [4.75 * mm, -4.75 * mm]), above(5 * mm, 2 * mm, 0.3)],
    ['a rail, string near its end, turned', bar(3 * mm, 30 * mm), above(4 * mm, 13 * mm, -0.25)],
  ];
  test.each(cases)('%s', (_, faces, over) => {
    const list = charges(faces);
    const got = fieldWindow(faces, over);
    const [cos, sin] = [Math.cos(over.angle), Math.sin(over.angle)];
    const square = (u: number, n: number, z: number) => {
      const b = fieldOf(list, u * cos - n * sin, over.y + u * sin + n * cos, z);
      return dot(b, b);
    };
    const ks = [0, 80, 264.2, 700, 1500];
    const sums = ks.map(() => [0, 0]);
    let side = 0;
    // another step than the code's
    const n = 240;
    for (let i = 0; i <= n; i++) {
      const t = -5.2 + (10.4 * i) / n;
      const u = over.z * Math.sinh(t);
      const du = (over.z * Math.cosh(t) * 10.4) / n;
      const e = 0.02 * over.z;
      const s = falling(z => square(u, 0, z), over.z, e) * du;
      side += falling(to => square(u, to, over.z), 0, e) * du;
      ks.forEach((k, j) => {
        sums[j][0] += s * Math.cos(k * u);
        sums[j][1] += s * Math.sin(k * u);
      });
    }
    const area = sums[0][0];
    ks.forEach((k, j) => {
      const error = k < 300 ? 1e-6 : 1e-4;
      expect(Math.abs(got.even(k) - sums[j][0] / area)).toBeLessThan(error);
      expect(Math.abs(got.odd(k) - sums[j][1] / area)).toBeLessThan(error);
    });
    expect(got.area / area).toBeCloseTo(1, 5);
    expect(got.sideways).toBeCloseTo(side / area, 5);
    // the drawn sensitivity is the same function, 1 at its greatest
    const drawn = (u: number) => falling(z => square(u, 0, z), over.z, 0.02 * over.z);
    expect(got.sensitivity(2 * mm) / got.sensitivity(-1 * mm)).toBeCloseTo(drawn(2 * mm) / drawn(-1 * mm), 5);
  });

  test('neighbours three radii off and more, as four charges each: within 2e-4', () => {
    const row = disc(
      4.8 * mm,
      [26, 15.6, 5.2, -5.2, -15.6, -26].map(y => y * mm),
    );
    const list = charges(row);
    const over = above(4.4 * mm, 6 * mm);
    const got = fieldWindow(row, over);
    const s = (u: number) =>
      falling(
        z => {
          const b = fieldOf(list, u, over.y, z);
          return dot(b, b);
        },
        over.z,
        1e-4,
      );
    for (const u of [-8, -3, 1, 5, 12])
      expect(got.sensitivity(u * mm) / got.sensitivity(0)).toBeCloseTo(s(u * mm) / s(0), 3.5);
  });
});

describe('the depth of half the width, against a whole magnet in an air-cored coil', () => {
  /** Field of a straight current from p to q at r (Biot and Savart), without constants. */
  function side(p: Vector, q: Vector, r: Vector): Vector {
    const a: Vector = [r[0] - p[0], r[1] - p[1], r[2] - p[2]];
    const b: Vector = [r[0] - q[0], r[1] - q[1], r[2] - q[2]];
    const [m, n] = [Math.hypot(...a), Math.hypot(...b)];
    const f = (m + n) / (m * n * (m * n + dot(a, b)));
    return [(a[1] * b[2] - a[2] * b[1]) * f, (a[2] * b[0] - a[0] * b[2]) * f, (a[0] * b[1] - a[1] * b[0]) * f];
  }
  /** 1.5 to 12.5 mm below the face, its windings from `inner` to `outer` wide and 42 mm longer than wide. */
  function coil(inner: number, outer: number) {
    return (x: number, z: number): Vector => {
      const sum: Vector = [0, 0, 0];
      for (let i = 0; i < 6; i++)
        for (let j = 0; j < 8; j++) {
          const w = (inner + ((outer - inner) * i) / 5) / 2;
          const l = w + 21 * mm;
          const corners: Vector[] = [
            [-w, -l, 0],
            [w, -l, 0],
            [w, l, 0],
            [-w, l, 0],
          ];
          const r: Vector = [x, 0, z + 1.5 * mm + (11 * mm * j) / 7];
          for (const [c, p] of corners.entries()) {
            const part = side(p, corners[(c + 1) % 4], r);
            for (let n = 0; n < 3; n++) sum[n] += part[n];
          }
        }
      return sum;
    };
  }
  /** Level and full width at half maximum of a magnet `long` m long with such a face, in a coil. */
  function whole(faces: Faces, long: number, around: ReturnType<typeof coil>) {
    const list = charges(faces);
    const kernel = (x: number, d: number): number => {
      const near = fieldOf(list, x, 0, d);
      const far = fieldOf(list, x, 0, d + long);
      return dot([near[0] - far[0], 0, near[2] - far[2]], around(x, d));
    };
    return (d: number) => {
      const s = (x: number) => falling(z => kernel(x, z), d, 1e-4);
      let level = 0;
      for (let i = 0; i <= 40; i++) {
        const t = (4 * i) / 40;
        level += s(d * Math.sinh(t)) * d * Math.cosh(t) * (i === 0 || i === 40 ? 0.5 : 1);
      }
      const top = s(0);
      return { level, width: 2 * crossing(x => s(x) / top, 0.5, 0, 12 * mm) };
    };
  }
  const check = (faces: Faces, long: number, around: ReturnType<typeof coil>, slope: number, width: number) => {
    const magnet = whole(faces, long, around);
    const model = (d: number) => fieldWindow(faces, above(d + faceDepth(faces.size)));
    for (const d of [2, 3, 4].map(v => v * mm)) {
      const by = 0.1 * mm;
      const per = (level: (d: number) => number) => (db(level(d - by)) - db(level(d + by))) / 0.2;
      expect(Math.abs(per(x => model(x).area) - per(x => magnet(x).level))).toBeLessThan(slope);
      expect(model(d).extent / magnet(d).width).toBeGreaterThan(1);
      expect(model(d).extent / magnet(d).width).toBeLessThan(1 + width);
    }
  };

  test(
    'a rod of 4.8 mm, 17 mm long: levels within 0.4 dB a millimetre, the window up to 9 % wider',
    () => check(disc(4.8 * mm), 17 * mm, coil(5.6 * mm, 13 * mm), 0.4, 0.09),
    60_000,
  );

  test(
    'a rail of 3 mm, 52 mm long: levels within 0.9 dB a millimetre, the window up to 22 % wider',
    () => check(bar(3 * mm, 52 * mm), 12 * mm, coil(3.8 * mm, 11.2 * mm), 0.9, 0.22),
    120_000,
  );
});
