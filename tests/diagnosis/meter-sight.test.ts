import { expect, test } from "vitest";
import { mustShow } from "../../src/circuit/limit.ts";
import { metersSeen, seesLimit } from "../../src/diagnosis/meter-sight.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";

// By hand: a limit of 450 ohm leaves 450 - 3.0 copper - 3 x 0.2 = 446.4; noise of 0.2 V shows 230.5 ohm
// (5000 / 1003.6 V less 2 x 1.6449 x 0.2829 V). 4.99 V on 1 kohm is 2.0 ohm, less than the copper.
const poolWith = (limit: string, noise: number) => {
  const file = `pool: Kestrel Bay
model: plain
lanes: 2
devices: [touchpad]
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: ${noise} }]
limit: ${limit}
`;
  const read = readPool(file, "pool.yaml");
  if (!read.ok) throw new Error(read.error[0]?.message);
  return read.value;
};
const sightOf = (pool: ReturnType<typeof poolWith>) => {
  const readings = [{ meter: "deck" }];
  const walk = { order: { readings }, steps: new Map([["deck", 0.01]]) };
  const [sight] = metersSeen(pool, walk as unknown as Parameters<typeof metersSeen>[1]);
  return sight!;
};

test.each([
  ["a limit far above what it shows, which is more than a fouled contact", "{ ohms: 250 }", 0.2],
  ["the usual limit and a quiet meter", "{ volts: 4.8, meter: deck }", 0.02],
  ["a limit that leaves nothing", "{ volts: 4.99, meter: deck }", 0.02],
  ["the usual limit and a noisy meter", "{ volts: 4.8, meter: deck }", 0.04],
])("%s: blind is what can call no circuit sound", (_, limit, noise) => {
  const pool = poolWith(limit, noise);
  const sight = sightOf(pool);
  expect(sight.blind).toBe(!pool.circuits.some((one) => seesLimit(pool, one, sight)));
});

test("a meter that shows more than a fouled contact is not blind under a generous limit", () => {
  const generous = sightOf(poolWith("{ ohms: 450 }", 0.2));
  expect(generous.detectionLimit).toBeGreaterThan(60);
  expect(generous.blind).toBe(false);
  expect(sightOf(poolWith("{ volts: 4.99, meter: deck }", 0.02)).blind).toBe(true);
});

test("only meters that read are asked, one of an unknown load shows no ohms and is not blind", () => {
  const known = poolWith("{ volts: 4.8, meter: deck }", 0.02);
  const [deck] = known.meters;
  const pool = {
    ...known,
    meters: [{ ...deck!, name: "idle" }, { ...deck!, name: "shed", loadOhms: null }, deck!],
  };
  const readings = [{ meter: "deck" }, { meter: "shed" }];
  const steps = new Map(pool.meters.map(({ name }) => [name, 0.01]));
  const walk = { order: { readings }, steps } as unknown as Parameters<typeof metersSeen>[1];
  const seen = metersSeen(pool, walk);
  expect(seen.map(({ meter }) => meter)).toEqual(["shed", "deck"]);
  expect(seen[0]).toEqual({ meter: "shed", detectionLimit: null, blind: false });
  expect(seesLimit(pool, pool.circuits[0]!, seen[0]!)).toBe(false);
});

test("a meter that shows a limit on one path alone is not blind", () => {
  // 41.67 ohm less 3.0 of copper and 0.6: 38.07 ohm. With 40 ohm of copper there is next to nothing left.
  const pool = poolWith("{ volts: 4.8, meter: deck }", 0.02);
  const [first, second] = pool.circuits;
  const long = {
    ...second!,
    path: second!.path.map((step) => ({ ...step, wireOhms: 10 as never })),
  };
  expect(sightOf({ ...pool, circuits: [first!, long] }).blind).toBe(false);
  expect(sightOf({ ...pool, circuits: [long] }).blind).toBe(true);
  const at = mustShow(pool, first!);
  expect(at).toBeCloseTo(5000 / 4.8 - 1000 - 3 - 0.6, 9);
  expect(seesLimit(pool, first!, { detectionLimit: at })).toBe(true);
});
