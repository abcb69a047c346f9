/**
 * The path of a signal in which several strings are mixed, a chord recorded on one channel. A comb belongs to one string
 * and a place along it, so such a signal can be given none. What does not depend on string and place is kept:
 *
 *   TP1         1                     N/N
 *   TP2         Σ w_j c_j σ_j / Z0    (m/s)/N
 *   TP3         Σ w_j c_j s_j / Z0    V/N
 *   TP4, TP5    Σ N_j c_j s_j / Z0    V/N
 *
 * with the weights w_j, signs σ_j, network gains N_j of `response.ts`, s_j = σ_j × sensitivity, and c_j the share of the
 * strings that coil j lies under. Z0 = mean of √(Tμ) over the instrument's strings stands for |Z/sin(kx)|, which is at
 * least Z: between the nulls of a comb the level is about right, in them and towards low frequencies it is too high.
 *
 * Left out: the comb, the aperture, stiffness, the phase between pickups (several in use add as if they stood in the
 * same place), and what distance, slant and poles do to the balance of the strings. Two builds differ in their wiring,
 * coils and loads only; a pickup that is moved changes nothing.
 */

import { type Spectrum, spectrum } from '../complex.ts';
import { type Build, POINT, type TestPoint } from '../document/build.ts';
import { isUnder } from '../sensor/placement.ts';
import { MIXED } from '../sensor/sensing.ts';
import { stringModel } from '../string/stiff.ts';
import { addCoil, coilStrength, type Gains } from './gains.ts';

/** Mean characteristic impedance √(Tμ) = μc of the strings of an instrument, without stiffness, N s/m. */
const meanImpedance = ({ instrument: { strings } }: Pick<Build, 'instrument'>): number =>
  strings.reduce((sum, spec) => sum + stringModel(spec).mass * stringModel(spec).speed, 0) / strings.length;

/** Response without comb and aperture from bridge force to `point`, at `length` frequencies with these gains. */
export function uncombed(build: Build, point: TestPoint, length: number, gains: Gains): Spectrum {
  const sum = spectrum(length);
  if (point === POINT.force) {
    sum.re.fill(1);
    return sum;
  }
  const { strings } = build.instrument;
  for (const pickup of build.pickups) {
    const mobility = MIXED[pickup.senses](meanImpedance(build));
    for (const coil of pickup.coils) {
      const share = strings.filter((_, index) => isUnder(coil, index)).length / strings.length;
      addCoil(sum, gains, pickup, coil, coilStrength(coil, point) * share * mobility, null);
    }
  }
  return sum;
}
