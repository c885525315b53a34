/** ln of the sum of exponentials, safe where each by itself would be 0 or infinite. */
export function logSum(logs: readonly number[]): number {
  const most = Math.max(...logs);
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0));
}
