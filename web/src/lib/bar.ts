/** Where a band and its number stand on a line of `width` that goes from 0 to `most`. */
export function barOf(value: number, low: number, high: number, most: number, width: number) {
  const at = (x: number) => (most > 0 ? (Math.min(Math.max(x, 0), most) / most) * width : 0);
  return { left: at(low), width: Math.max(at(high) - at(low), 0), tick: at(value) };
}

/** The end of an axis that holds `highest`: 1, 2 or 5 times a power of ten. */
export function axisEnd(highest: number): number {
  if (!(highest > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(highest));
  for (const step of [1, 2, 5]) if (step * power >= highest * (1 - 1e-9)) return step * power;
  return 10 * power;
}
