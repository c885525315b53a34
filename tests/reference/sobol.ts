/** Primitive polynomials and first direction numbers of Joe and Kuo for dimensions 2 to 6. */
const directions: readonly { degree: number; coefficients: number; first: readonly number[] }[] = [
  { degree: 1, coefficients: 0, first: [1] },
  { degree: 2, coefficients: 1, first: [1, 3] },
  { degree: 3, coefficients: 1, first: [1, 3, 1] },
  { degree: 3, coefficients: 2, first: [1, 1, 1] },
  { degree: 4, coefficients: 1, first: [1, 1, 3, 3] },
];

const bits = 30;

const directionNumbers = (dimension: number): number[] => {
  if (dimension === 0) return Array.from({ length: bits }, (_, i) => 2 ** (bits - 1 - i));
  const { degree, coefficients, first } = directions[dimension - 1]!;
  const v = first.map((m, i) => m * 2 ** (bits - 1 - i));
  for (let i = degree; i < bits; i++) {
    let next = v[i - degree]! ^ (v[i - degree]! >>> degree);
    for (let j = 1; j < degree; j++) {
      if ((coefficients >> (degree - 1 - j)) & 1) next ^= v[i - j]!;
    }
    v.push(next);
  }
  return v;
};

/**
 * The first `count` (a power of two) Sobol points, one array a dimension, at most six dimensions.
 * A digital shift (the same integer for every point of a dimension) gives other points with the
 * same evenness: two shifts that agree show how far a sum over the points can be trusted.
 * Every coordinate lies strictly inside (0, 1).
 */
export const sobolPoints = (dimensions: number, count: number, shift = 0): Float64Array[] =>
  Array.from({ length: dimensions }, (_, dimension) => {
    const v = directionNumbers(dimension);
    const mask = Math.imul(shift, 0x9e3779b1 + 2 * dimension * 0x85ebca6b) >>> (32 - bits);
    const points = new Float64Array(count);
    let x = 0;
    for (let i = 0; i < count; i++) {
      points[i] = ((x ^ mask) + 0.5) / 2 ** bits;
      x ^= v[31 - Math.clz32(~i & (i + 1))]!;
    }
    return points;
  });
