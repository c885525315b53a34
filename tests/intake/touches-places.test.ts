import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readTouches } from "../../src/intake/read-touches.ts";

const made = readPool("pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n", "pool.yaml");
if (!made.ok) throw new Error("no pool");
const pool = made.value;

test("a sheet of touches may say where on the pad and in which heat", () => {
  const read = readTouches(
    "lane,kind,tried,registered,place,heat\n1,fingertip,5,0,Left,4\n1,fingertip,5,5,,\n1,fingertip,5,5,corner,\n",
    pool,
    "touches.csv",
  );
  if (!read.ok) throw new Error(read.error.message);
  expect(read.value.touches.map(({ place, heat }) => [place, heat])).toEqual([
    ["left", "4"],
    [null, null],
  ]);
  expect(read.value.rejected.map(({ reason }) => reason)).toEqual([
    expect.stringContaining("place is 'corner': one of left, middle, right, high, low"),
  ]);
});
