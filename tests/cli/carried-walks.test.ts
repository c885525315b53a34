import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { registerCheck } from "../../src/cli/check.ts";
import { registerDecide } from "../../src/cli/decide.ts";
import { registerTrend } from "../../src/cli/trend.ts";
import { TWO_CONTACTS } from "../season/carried/two-contacts.ts";
import { runCommand } from "./run-command.ts";

/** By day: volts at the plate and at the pod; null: not read. */
type Walks = Readonly<Record<string, readonly [plate: number, pod: number | null]>>;

function folder(walks: Walks, work = ""): string {
  const at = mkdtempSync(join(tmpdir(), "carried-"));
  const rows = Object.entries(walks).flatMap(([day, [plate, pod]]) => [
    `${day}T10:00,1,touchpad,plate,${plate}`,
    ...(pod === null ? [] : [`${day}T10:02,1,touchpad,pod,${pod}`]),
  ]);
  writeFileSync(join(at, "pool.yaml"), TWO_CONTACTS);
  writeFileSync(join(at, "readings.csv"), `taken_at,lane,device,point,volts\n${rows.join("\n")}\n`);
  if (work !== "")
    writeFileSync(join(at, "work.csv"), `done_at,lane,device,point,action\n${work}\n`);
  return at;
}

async function latest(at: string, ...more: readonly string[]) {
  const args = ["check", "--pool", at, "--json", ...more];
  const [walk] = JSON.parse((await runCommand([registerCheck], args)).out).walks;
  const pod = walk.contacts.find(({ point }: { point: string }) => point === "pod");
  return {
    verdict: walk.circuits[0].verdict as string,
    faulty: 1 - (pod.sound as number),
    first: walk.connectors[0].point as string,
    informedBy: walk.informedBy as readonly string[],
  };
}

const LOW = { "2026-05-01": [4.98, 1.6], "2026-05-08": [4.97, 1.61], "2026-05-15": [4.98, 1.6] };
const CLEANED = "2026-05-11T09:00,1,touchpad,pod,cleaned";

test("1.6 V at one pod in three walks is a fault, though a cleaning lies between", async () => {
  const at = folder(LOW as unknown as Walks, CLEANED);
  const found = await latest(at);
  expect(found.informedBy).toEqual(["2026-05-01", "2026-05-08"]);
  expect([found.verdict, found.first]).toEqual(["weak", "pod"]);
  // One walk of it may be a value misread; what came back after a cleaning is no misread value.
  const alone = await latest(at, "--alone");
  expect(alone.informedBy).toEqual([]);
  expect(found.faulty).toBeGreaterThan(alone.faulty);
  expect(found.faulty).toBeGreaterThan(0.97);
  const never = await latest(folder(LOW as unknown as Walks));
  expect(never.faulty).toBeGreaterThan(0.999);
  const { out } = await runCommand([registerTrend], ["trend", "--pool", at]);
  expect(out.replace(/\s+/g, " ")).toMatch(
    /11 May, Lane 1 pod terminals \(touchpad\): .* film under 1 %, did not hold\./,
  );
  // One answer: what `check` says of the last walk, `trend` says too.
  expect(out).toContain(`at fault ${(100 * found.faulty).toFixed(0)} % on 15 May`);
  // A cleaning that left it where it was points to metal: the next one is not tried.
  const asked = ["decide", "--pool", at, "--json"];
  const [decision] = JSON.parse((await runCommand([registerDecide], asked)).out).decisions;
  expect(decision).toMatchObject({ action: "replace", stillLowAfterCleaning: true });
  const untried = ["decide", "--pool", folder(LOW as unknown as Walks), "--json"];
  const [first] = JSON.parse((await runCommand([registerDecide], untried)).out).decisions;
  expect(first).toMatchObject({ action: "clean", stillLowAfterCleaning: false });
}, 240_000);

test.each([4.97, 4.9])(
  "age alone makes no path weak that reads %s V",
  async (volts) => {
    for (const day of ["2026-06-01", "2028-05-01"]) {
      const at = folder({ "2026-05-01": [4.98, 4.97], [day]: [4.98, volts] });
      const found = await latest(at);
      expect(found.informedBy).toEqual(["2026-05-01"]);
      expect([day, found.verdict]).toEqual([day, "sound"]);
      expect((await latest(at, "--alone")).verdict).toBe("sound");
    }
  },
  240_000,
);

test("a part that was replaced is not what the old one was", async () => {
  // The pod is not read again: what is believed of it is what was left.
  const walks: Walks = { "2026-05-01": [4.98, 1.6], "2026-05-08": [4.98, null] };
  const replaced = await latest(folder(walks, "2026-05-04T09:00,1,touchpad,pod,replaced"));
  const left = await latest(folder(walks));
  expect(left.faulty).toBeGreaterThan(0.9);
  // New parts fail by early faults of the trade, as clean outlets do: a few in a hundred.
  expect(replaced.faulty).toBeLessThan(0.1);
  const read: Walks = { "2026-05-01": [4.98, 1.6], "2026-05-08": [4.98, 4.97] };
  const sound = await latest(folder(read, "2026-05-04T09:00,1,touchpad,pod,replaced"));
  expect(sound.verdict).toBe("sound");
}, 240_000);
