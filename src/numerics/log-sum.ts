/** ln of a sum of numbers given by their ln: the largest is taken out first. */
export function logSum(logs: readonly number[]): number {
  const most = Math.max(...logs);
  if (most === Number.NEGATIVE_INFINITY) return most;
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}
