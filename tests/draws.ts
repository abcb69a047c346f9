/**
 * How many random cases a property is tried on. `npm test` tries as many as tell a wrong program within seconds; `DRAWS=20`
 * tries twenty times as many (`npm run long -- draws`).
 */
const times = Number(process.env.DRAWS ?? 1);

export const draws = (usual: number): number => Math.ceil(usual * times);
