/** How loud the reading at a test point is played. */
import type { TestPoint } from '../build/build.ts';

/**
 * Fixed linear gain from the quantity at each test point to full scale: newtons at 1, metres per second at 2, volts from
 * 3 on. 1 V is −20 dBFS. The modelled strum then peaks between −19 (single coil near the saddle) and −6 dBFS (double
 * coil near the neck) at the input, and is about as loud at every test point, between the two.
 */
export const LISTENING_GAIN: Record<TestPoint, number> = { 1: 0.05, 2: 0.02, 3: 0.1, 4: 0.1, 5: 0.1 };
