/**
 * The field over pole pieces, and what a string in it is to the coil beneath.
 *
 * A pole piece is a face with magnetic charge spread evenly over it: a disc for a rod, screw or slug, a rectangle for a
 * rail. Face and field of all pole pieces of one coil add up. The string is a thin line in which the field B induces
 * dipoles in proportion to B; the coil's own field comes out of the same faces, so by reciprocity the flux that a piece
 * of string sends through the coil goes as B·B. What a motion of the string upwards by dz changes of it is
 *
 *     S(u) ∝ −∂(B·B)/∂z = 2 B·D,   D = −∂B/∂z,
 *
 * its sensitivity along the string; ∫S du is its level, the Fourier transform of S over that its aperture window, and
 * the same derivative sideways what a motion to the side gives. For one small pole at depth h this is
 * S ∝ h (u² + h²)^−3 with W = e^(−kh)(1 + kh + (kh)²/3) and a level of h^−4; for a long thin rail h (u² + h²)^−2,
 * e^(−kh)(1 + kh) and h^−2.
 *
 * Closed forms: the field of a disc from its edge and solid angle (F. Paxton, Rev. Sci. Instrum. 30 (1959) 254), its
 * derivative as the field of a current loop, both by R. Bulirsch's complete elliptic integral (Numer. Math. 13 (1969)
 * 305); a rectangle by elementary functions. Everything else is one sum over the string.
 *
 * What stays a guess: that the string answers in all directions alike and in proportion (a saturated one changes by as
 * little as 1.2 dB a millimetre where this law has 6), and how deep below the face the charge is to be put
 * (`faceDepth`). Nobody has published a measured table of level against distance.
 */

/** Pole pieces of one coil, as the coil's own axes have them: across the coil (x) they stand at 0. */
export interface Faces {
  readonly shape: 'disc' | 'bar';
  /** Diameter of a disc, width of a bar along the strings, m. */
  readonly size: number;
  /** Length of a bar, m; 0 for discs. */
  readonly length: number;
  /** Centres along the coil, m. */
  readonly at: readonly number[];
}

/** A straight string over pole pieces, in the coil's axes. */
export interface Over {
  /** Where it crosses the coil's line, m. */
  readonly y: number;
  /** Its direction against the coil's normal, rad. */
  readonly angle: number;
  /** Its height over the charge, m. */
  readonly z: number;
}

/** What the field does along one string. u is counted along the string from where it crosses the coil. */
export interface FieldWindow {
  /** ∫S du: level up to a factor that is the same for all strings and heights over the same faces. */
  readonly area: number;
  /** ∫S cos(ku) du/∫S du and ∫S sin(ku) du/∫S du at wave number k, rad/m, not negative. */
  even(k: number): number;
  odd(k: number): number;
  /** Both over a list of wave numbers. */
  over(k: Float64Array): { even: Float64Array; odd: Float64Array };
  /** Sensitivity at u, 1 at its greatest. */
  sensitivity(u: number): number;
  /** Full width at half maximum of the sensitivity, m. */
  readonly extent: number;
  /** Output of a motion towards the treble side against that of an equal one away from the poles. */
  readonly sideways: number;
}

/**
 * How deep below its face the charge of a pole piece is put, m: half its width. A field model of a whole rod magnet
 * (radius 2.4, length 17 mm) in an air-cored coil has the same levels within 0.4 dB a millimetre and a window narrower by
 * up to 9 % between 1.5 and 6 mm; of a rail 3 mm wide within 0.9 dB a millimetre and 22 %.
 */
export const faceDepth = (size: number): number => size / 2;

/**
 * The other end of what real pickups may do. This law is that of a string far from saturation: 6.6 dB a millimetre 2 mm
 * over a common rod, 6.2 for a whole rod magnet. Where the string's magnetisation is frozen, the field model of a whole
 * rod has it at 1.1 to 1.4 dB a millimetre from 1.5 to 6 mm; where the string answers along its own direction alone,
 * it is sensed over up to twice the length.
 */
export const SATURATED = { slope: 1.2, width: 2 } as const;

/**
 * Complete elliptic integral ∫ (c cos² + s sin²) / ((cos² + p sin²) √(cos² + kc² sin²)) over a quarter turn, for kc ≠ 0
 * and p > 0 (Bulirsch 1969).
 */
function cel(kc: number, p: number, c: number, s: number): number {
  let k = Math.abs(kc);
  let e = k;
  let pp = Math.sqrt(p);
  let cc = c;
  let ss = s / pp;
  let em = 1;
  for (let first = true; ; first = false) {
    if (!first) {
      k = 2 * Math.sqrt(e);
      e = k * em;
    }
    const f = cc;
    cc += ss / pp;
    let g = e / pp;
    ss = 2 * (ss + f * g);
    pp += g;
    g = em;
    em += k;
    if (Math.abs(g - k) <= g * 1e-8) break;
  }
  return (Math.PI / 2) * ((ss + cc * em) / (em * (em + pp)));
}

/** Field B, its fall D with height, and its change in the plane: ∂Bx/∂x, ∂Bx/∂y, ∂By/∂y. */
interface Field {
  bx: number;
  by: number;
  bz: number;
  dx: number;
  dy: number;
  dz: number;
  xx: number;
  xy: number;
  yy: number;
}

/** Adds the field of a disc of unit charge at the origin, at (x, y, z), z > 0. */
function addDisc(to: Field, radius: number, x: number, y: number, z: number): void {
  const a = radius;
  const charge = 1 / (Math.PI * a * a);
  let rho = Math.hypot(x, y);
  // on the edge's circle the solid angle's integral has a removable singularity
  if (Math.abs(rho - a) < 1e-7 * a) rho = a * (1 + 1e-7);
  const long = Math.hypot(a + rho, z);
  const kc = Math.hypot(a - rho, z) / long;
  const near = (a - rho) / (a + rho);
  const inside = rho < a ? 2 * Math.PI : 0;
  const radial = charge * ((4 * a) / long) * cel(kc, 1, -1, 1);
  const bz = charge * (inside - ((4 * a * z) / ((a + rho) * long)) * cel(kc, near * near, 1, near));
  const dz = charge * (4 / long ** 3) * cel(kc, kc * kc, a * (a + rho), a * (a - rho));
  const dRadial = charge * ((4 * a * z) / long ** 3) * cel(kc, kc * kc, -1, 1);
  const onAxis = rho < 1e-6 * a;
  const [c, s] = onAxis ? [1, 0] : [x / rho, y / rho];
  // div B = 0 over the face: ∂Br/∂r = Dz − Br/r
  const perRadius = onAxis ? dz / 2 : radial / rho;
  const slope = dz - perRadius;
  to.bx += radial * c;
  to.by += radial * s;
  to.bz += bz;
  to.dx += dRadial * c;
  to.dy += dRadial * s;
  to.dz += dz;
  to.xx += slope * c * c + perRadius * s * s;
  to.xy += (slope - perRadius) * c * s;
  to.yy += slope * s * s + perRadius * c * c;
}

/** Adds the field of a rectangle of unit charge at the origin, `width` along x, `length` along y. */
function addBar(to: Field, width: number, length: number, x: number, y: number, z: number): void {
  const charge = 1 / (width * length);
  for (const i of [-1, 1]) {
    const X = x + (i * width) / 2;
    const xz = X * X + z * z;
    for (const j of [-1, 1]) {
      const Y = y + (j * length) / 2;
      const yz = Y * Y + z * z;
      const R = Math.sqrt(xz + Y * Y);
      const q = i * j * charge;
      to.bx -= q * Math.asinh(Y / Math.sqrt(xz));
      to.by -= q * Math.asinh(X / Math.sqrt(yz));
      to.bz += q * Math.atan((X * Y) / (z * R));
      to.dx -= (q * Y * z) / (R * xz);
      to.dy -= (q * X * z) / (R * yz);
      to.dz += (q * X * Y * (R * R + z * z)) / (R * xz * yz);
      to.xx += (q * X * Y) / (R * xz);
      to.xy -= q / R;
      to.yy += (q * X * Y) / (R * yz);
    }
  }
}

/** Adds the field of a unit point charge at the origin, at (x, y, z). */
function addPoint(to: Field, charge: number, x: number, y: number, z: number): void {
  const r2 = x * x + y * y + z * z;
  const q = charge / (r2 * Math.sqrt(r2));
  const q3 = (3 * q) / r2;
  to.bx += q * x;
  to.by += q * y;
  to.bz += q * z;
  to.dx += q3 * x * z;
  to.dy += q3 * y * z;
  to.dz += q3 * z * z - q;
  to.xx += q - q3 * x * x;
  to.xy -= q3 * x * y;
  to.yy += q - q3 * y * y;
}

/** A disc this many radii to the side is four charges on the ring of its mean square radius: right to 1e-3 of it. */
const FAR = 3;

const scratch: Field = { bx: 0, by: 0, bz: 0, dx: 0, dy: 0, dz: 0, xx: 0, xy: 0, yy: 0 };

/** Field over pole pieces at (x, y, z); the same object every time. */
type FieldAt = (x: number, y: number, z: number) => Field;

/** The field that a string meets: of what it passes near, exactly; of rods farther off, by charges on a ring. */
function along({ shape, size, length, at }: Faces, { y: crossing, angle }: Over): FieldAt {
  const radius = size / 2;
  const ring = radius * Math.SQRT1_2;
  const isNear = (centre: number) => Math.abs((crossing - centre) * Math.cos(angle)) < FAR * radius;
  const near = shape === 'bar' ? at : at.filter(isNear);
  const far = shape === 'bar' ? [] : at.filter(centre => !isNear(centre));
  const f = scratch;
  return (x, y, z) => {
    f.bx = f.by = f.bz = f.dx = f.dy = f.dz = f.xx = f.xy = f.yy = 0;
    for (const centre of near)
      if (shape === 'disc') addDisc(f, radius, x, y - centre, z);
      else addBar(f, size, length, x, y - centre, z);
    for (const centre of far)
      for (const side of [-ring, ring]) {
        addPoint(f, 0.25, x - side, y - centre, z);
        addPoint(f, 0.25, x, y - centre - side, z);
      }
    return f;
  };
}

/** −∂(B·B)/∂z of a field. */
const upwards = (f: Field): number => 2 * (f.bx * f.dx + f.by * f.dy + f.bz * f.dz);
/** −∂(B·B)/∂n along a direction (nx, ny) in the plane. Curl B = 0: ∂Bz/∂x = ∂Bx/∂z = −Dx. */
const aside = (f: Field, nx: number, ny: number): number =>
  -2 * (f.bx * (f.xx * nx + f.xy * ny) + f.by * (f.xy * nx + f.yy * ny) - f.bz * (f.dx * nx + f.dy * ny));

/** Steps of the substitution u = z sinh t. */
const STEP = 0.1;
/** The sum ends at this many times height and half width. */
const REACH = 60;
/** Wave numbers up to here are tabulated, rad/m: a bass string's at 20 kHz. Beyond, the sum is taken. */
const TABULATED = 1200;
/** Step of the table against the length of the window. */
const FINE = 0.05;

/**
 * The string as samples: S, its sideways counterpart and weights for ∫ du, by the trapezoidal rule in t, u = z sinh t:
 * S is analytic up to |Im u| = z, so the rule converges exponentially.
 */
function sample(faces: Faces, { y, angle, z }: Over, fieldAt: FieldAt) {
  const half = faces.size / 2;
  const step = Math.min(STEP, (0.4 * z) / Math.hypot(half, z));
  const count = Math.ceil(Math.asinh((REACH * (z + half)) / z) / step);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const u = new Float64Array(2 * count + 1);
  const raw = new Float64Array(2 * count + 1);
  const weighted = new Float64Array(2 * count + 1);
  let [area, side] = [0, 0];
  for (let i = 0; i < u.length; i++) {
    const t = (i - count) * step;
    u[i] = z * Math.sinh(t);
    const du = step * z * Math.cosh(t);
    const f = fieldAt(u[i] * cos, y + u[i] * sin, z);
    raw[i] = upwards(f);
    weighted[i] = raw[i] * du;
    area += weighted[i];
    side += aside(f, -sin, cos) * du;
  }
  for (let i = 0; i < u.length; i++) weighted[i] /= area;
  return { u, raw, weighted, area, sideways: side / area };
}

/** Even and odd transform and their derivatives at equal steps of k, [even, even′, odd, odd′] each, by recurrence. */
function transforms(u: Float64Array, weighted: Float64Array, dk: number, count: number): Float64Array {
  const table = new Float64Array(4 * count);
  for (let i = 0; i < u.length; i++) {
    const [w, x] = [weighted[i], u[i]];
    const [c, s] = [Math.cos(dk * x), Math.sin(dk * x)];
    let [re, im] = [w, 0];
    for (let n = 0; n < 4 * count; n += 4) {
      table[n] += re;
      table[n + 1] -= x * im;
      table[n + 2] += im;
      table[n + 3] += x * re;
      [re, im] = [re * c - im * s, re * s + im * c];
    }
  }
  return table;
}

/** Halvings of some millimetres until less than a nanometre is left. */
const HALVINGS = 24;
/** Where `f` falls from above a half at `inside` to below it at `outside`. */
function halfWay(f: (u: number) => number, inside: number, outside: number): number {
  let [a, b] = [inside, outside];
  for (let n = 0; n < HALVINGS; n++) {
    const middle = (a + b) / 2;
    if (f(middle) > 0.5) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

function compute(faces: Faces, over: Over): FieldWindow {
  const fieldAt = along(faces, over);
  const { u, raw, weighted, area, sideways } = sample(faces, over, fieldAt);
  // feet of the poles that are near, where the string runs askew over them, are part of the window's length
  const askew =
    Math.max(...faces.at.map(y => Math.min(2 * faces.size, Math.abs(over.y - y)))) * Math.abs(Math.sin(over.angle));
  const dk = FINE / (over.z + faces.size / 2 + askew);
  const count = Math.ceil(TABULATED / dk) + 2;
  const table = transforms(u, weighted, dk, count);
  const direct = (wave: (x: number) => number, k: number): number => {
    let sum = 0;
    for (let i = 0; i < u.length; i++) sum += weighted[i] * wave(k * u[i]);
    return sum;
  };
  /** Cubic between table entries with their exact slopes. */
  const between = (k: number, part: 0 | 2): number => {
    const n = Math.floor(k / dk);
    const t = k / dk - n;
    const at = 4 * n + part;
    const p = table[at];
    const m = dk * table[at + 1];
    const q = table[at + 4];
    const o = dk * table[at + 5];
    return p + t * (m + t * (3 * (q - p) - 2 * m - o + t * (2 * (p - q) + m + o)));
  };
  const all = (k: Float64Array): { even: Float64Array; odd: Float64Array } => {
    const [even, odd] = [new Float64Array(k.length), new Float64Array(k.length)];
    for (let i = 0; i < k.length; i++) {
      if (!(k[i] < TABULATED)) {
        even[i] = direct(Math.cos, k[i]);
        odd[i] = direct(Math.sin, k[i]);
        continue;
      }
      even[i] = between(k[i], 0);
      odd[i] = between(k[i], 2);
    }
    return { even, odd };
  };
  const [cos, sin] = [Math.cos(over.angle), Math.sin(over.angle)];
  let peak = 0;
  for (let i = 1; i < u.length; i++) if (Math.abs(u[i]) < 0.05 && raw[i] > raw[peak]) peak = i;
  const sensitivity = (x: number): number => upwards(fieldAt(x * cos, over.y + x * sin, over.z)) / raw[peak];
  let extent: number | null = null;
  return {
    area,
    sideways,
    even: k => (k < TABULATED ? between(k, 0) : direct(Math.cos, k)),
    odd: k => (k < TABULATED ? between(k, 2) : direct(Math.sin, k)),
    over: all,
    sensitivity,
    get extent() {
      if (extent !== null) return extent;
      // the outermost samples on either side that still reach a half
      let [low, high] = [u[peak], u[peak]];
      for (let i = 0; i < u.length; i++)
        if (raw[i] >= 0.5 * raw[peak]) {
          low = Math.min(low, u[i]);
          high = Math.max(high, u[i]);
        }
      const beyond = over.z + faces.size;
      extent = halfWay(sensitivity, high, high + beyond) - halfWay(sensitivity, low, low - beyond);
      return extent;
    },
  };
}

/** Windows kept: every string under every coil of a page full of builds. */
const KEPT = 1024;
const kept = new Map<string, FieldWindow>();

/** The field along a string over pole pieces; what was asked for lately is kept. */
export function fieldWindow(faces: Faces, over: Over): FieldWindow {
  const name = `${faces.shape} ${faces.size} ${faces.length} ${faces.at} ${over.y} ${over.angle} ${over.z}`;
  let window = kept.get(name);
  if (window) kept.delete(name);
  else window = compute(faces, over);
  kept.set(name, window);
  if (kept.size > KEPT) kept.delete(kept.keys().next().value!);
  return window;
}
