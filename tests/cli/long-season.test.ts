import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { dayNumber, dayText } from "../../src/domain/calendar.ts";
import { trendJson } from "../../src/report/trend-json.ts";
import { trend } from "../../src/rooms/history-room.ts";
import { readPool, readReadings } from "../../src/rooms/intake-room.ts";
import { diagnoseSeason } from "../../src/rooms/season-room.ts";
import { seededRandom } from "../study/random.ts";

const POOL = `pool: Kestrel Bay
model: plain
lanes: 2
devices: [touchpad]
chain:
  - { point: plate, connector: plate connector, shared_by: lane, wire_ohms: 1, contaminated: 0.05, fouled: 0.05, fouled_if_contaminated: 0.7 }
  - { point: pod, connector: pod terminals, shared_by: device, wire_ohms: 1, fouled: 0.1 }
`;

/** A hundred and twenty weekly walks: enough for more than one thread. */
function sheet(): string {
  const random = seededRandom(4);
  const start = dayNumber("2024-01-01")!;
  const rows = Array.from({ length: 120 }, (_, week) =>
    [1, 2].map((lane) => {
      const plate = 0.3 * Math.exp(0.05 * week * (lane - 1));
      const shown = (ohms: number): string =>
        (5000 / (1000 + ohms) + 0.02 * random.normal()).toFixed(2);
      const day = dayText(start + 7 * week);
      return `${day},${lane},plate,${shown(1 + plate)}\n${day},${lane},pod,${shown(2.2 + plate)}`;
    }),
  );
  return `taken_at,lane,point,volts\n${rows.flat().join("\n")}\n`;
}

test("a long season on several threads comes out as on one", () => {
  const folder = mkdtempSync(join(tmpdir(), "long-season-"));
  const [poolFile, readingsFile] = [join(folder, "pool.yaml"), join(folder, "readings.csv")];
  writeFileSync(poolFile, POOL);
  writeFileSync(readingsFile, sheet());
  const run = spawnSync(
    process.execPath,
    [
      ...["--import", "tsx", "src/cli/main.ts", "trend", "--json"],
      ...["--pool", poolFile, readingsFile],
    ],
    { encoding: "utf8", maxBuffer: 1 << 28 },
  );
  rmSync(folder, { recursive: true });
  expect(run.stderr).toBe("");
  const pool = readPool(POOL, "pool.yaml");
  if (!pool.ok) throw new Error("the pool file is refused");
  const { readings } = readReadings(sheet(), pool.value, readingsFile);
  const walks = diagnoseSeason(pool.value, readings, []).map(({ day, ...walk }) => ({
    ...walk,
    day: day!,
  }));
  const expected = trendJson(
    trend(pool.value, walks, []),
    walks.at(-1)!.diagnosis.walk,
    [],
    [],
    null,
  );
  expect(JSON.parse(run.stdout)).toEqual(JSON.parse(JSON.stringify(expected)));
});
