import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { registerLog } from "../../src/cli/log.ts";
import { registerReady } from "../../src/cli/ready.ts";
import { registerTouches } from "../../src/cli/touches.ts";
import { planRound } from "../../src/meet/round.ts";
import { roundCsv } from "../../src/report/round-csv.ts";
import { kestrelBay } from "../meet/pool.ts";
import { runCommand } from "./run-command.ts";

const folder = mkdtempSync(join(tmpdir(), "dropwise-ready-"));
const file = (name: string): string => join(folder, name);
const run = (...args: string[]) =>
  runCommand([registerReady, registerTouches, registerLog], [...args, "--pool", file("pool.yaml")]);

/**
 * A round as typed by a person whose pool has one fouled contact of 80 ohms, lane 3's touchpad in
 * the plate; everything else is the divider's own value (by hand: E RL / (RL + wires + contacts)).
 */
function typedRound(): string {
  const round = planRound(kestrelBay, kestrelBay.meters[0]!);
  const wires: Record<string, number> = { timer: 0.1, harness: 0.7, plate: 2.7, pod: 3 };
  const points = ["timer", "harness", "plate", "pod"];
  return roundCsv(round, { date: "2026-06-11", by: "KM" })
    .split("\r\n")
    .map((line, i) => {
      const [lane, device, point = ""] = line.split(",");
      if (i === 0 || line === "") return line;
      const passed = points.indexOf(point) + 1;
      const fouled = lane === "3" && device === "touchpad" && passed >= 3 ? 80 : 0;
      const volts = 5000 / (1000 + (wires[point] ?? 0) + 0.2 * passed + fouled);
      return line.replace(/^([^,]*,[^,]*,[^,]*),/, `$1,${volts.toFixed(2)}`);
    })
    .join("\r\n");
}

beforeAll(() => {
  writeFileSync(
    file("pool.yaml"),
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad, button-1, button-2]\n",
  );
  writeFileSync(file("readings.csv"), typedRound());
  writeFileSync(file("empty.csv"), "done_at,lane,device,point,action\n");
  writeFileSync(
    file("presses.csv"),
    "lane,device,kind,tried,registered\n1,touchpad,fingertip,20,20\n" +
      "3,touchpad,fingertip,5,3\n5,touchpad,fingertip,5,2\n5,touchpat,fingertip,5,2\n",
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ready = (...args: string[]) =>
  run("ready", "--date", "2026-06-13", ...args, "--json", file("readings.csv"));

interface Answer {
  readonly counts: Record<string, number>;
  readonly lanes: { lane: number; verdict: string; fallBack: string[] }[];
  readonly plan: { steps: { id: string; makes: number[] }[]; exact: boolean };
  readonly bag: { chanceEnough: number };
}

describe("dropwise ready", () => {
  test("from files to verdicts: one lane not ready, its buttons proven, one thing to do", async () => {
    const done = await ready("--work", file("empty.csv"), "--minutes-left", "45");
    expect(done).toMatchObject({ status: 1, err: "" });
    const answer = JSON.parse(done.out) as Answer;
    expect(answer.counts).toEqual({ ready: 7, watch: 0, "not ready": 1 });
    expect(answer.lanes.find((lane) => lane.lane === 3)).toMatchObject({
      verdict: "not ready",
      fallBack: ["button-1", "button-2"],
    });
    expect(answer.plan.steps).toMatchObject([{ id: "clean / 3 / plate", makes: [3] }]);
    expect(answer.bag.chanceEnough).toBeGreaterThanOrEqual(0.95);
  });

  test("a spare in the register of parts stands where it is to be carried", async () => {
    writeFileSync(
      file("parts.csv"),
      "part,kind,where\nA1,plate connector,spare\nA2,plate connector,lane 2\nA3,Plate  connector,spare\n,x,spare\n",
    );
    const args = ["ready", file("readings.csv"), "--date", "2026-06-13"];
    const { out, err, status } = await run(...args);
    writeFileSync(file("parts.csv"), "part,kind,where\nA2,plate connector,lane 2\n");
    const none = (await run(...args)).out.replace(/\s+/g, " ");
    expect(none).toMatch(/spare: plate connector \([^)]*\), 0 in the register/);
    rmSync(file("parts.csv"));
    expect(status).toBe(1);
    const words = out.replace(/\n {8}/g, " ");
    expect(words).toMatch(/spare: plate connector \([^)]*\), 2 in the register/);
    expect(words).toMatch(/Left at home: [^.]*spare pod terminals/);
    expect(err).toContain("part is blank");
    expect((await run(...args)).out).not.toContain("in the register");
  });

  test("cleaned and logged, the lane is watched until it is read again", async () => {
    const work = file("work.csv");
    const logged = await run(
      ...["log", "cleaned", "--lane", "3", "--point", "plate", "--at", "2026-06-12"],
      ...["--work", work],
    );
    expect(logged.status).toBe(0);
    const answer = JSON.parse((await ready("--work", work)).out) as Answer;
    expect(answer.counts).toEqual({ ready: 7, watch: 1, "not ready": 0 });
    expect(answer.plan.steps).toMatchObject([{ id: "read / 3 / touchpad" }]);
  });

  test("in words it says who decides which time counts, with the cautions", async () => {
    const args = ["ready", "--date", "2026-06-13", "--work", file("empty.csv")];
    const done = await run(...args, file("readings.csv"));
    expect(done.out).toContain("Lane 3  NOT READY  touchpad: path at fault");
    expect(done.out).toContain("meet's own rules");
    expect(done.out.replace(/\s+/g, " ")).toContain("alcohol away from oxidisers and flames");
  });

  test.each([
    [["--date", "tomorrow"], "--date is 'tomorrow'"],
    [["--minutes-left", "soon"], "--minutes-left is 'soon'"],
    [["--touches", "nowhere.csv"], "nowhere.csv"],
  ])("%j is one sentence and exit 2", async (args, words) => {
    const done = await run("ready", file("readings.csv"), ...args);
    expect(done.status).toBe(2);
    expect(done.err).toContain(words);
    expect(done.err.trim().split("\n").length).toBe(1);
  });
});

describe("dropwise touches", () => {
  test("with readings, misses fall on the path where it is weak and on the pad where it is good", async () => {
    const args = [
      "touches",
      "--readings",
      file("readings.csv"),
      "--json",
      "--",
      file("presses.csv"),
    ];
    const done = await runCommand(
      [registerTouches],
      [...args.slice(0, 1), "--pool", file("pool.yaml"), ...args.slice(1)],
    );
    expect(done.status).toBe(1);
    expect(done.err).toContain("line 5: device is 'touchpat'");
    const { devices } = JSON.parse(done.out) as {
      devices: {
        lane: number;
        missed: { blame: { pointsTo: string } };
        proof: { state: string };
      }[];
    };
    const of = (lane: number) => devices.find((device) => device.lane === lane);
    expect(of(3)?.missed.blame.pointsTo).toBe("path");
    expect(of(5)?.missed.blame.pointsTo).toBe("pad");
    expect(of(1)?.proof.state).toBe("proven");
  });

  test("a stricter rule asks for more presses", async () => {
    const strict = await run("touches", file("presses.csv"), "--tolerated", "0.05");
    expect(strict.out).toContain("Proven means: missed touches at most 5 %");
    expect(strict.out).toMatch(/Lane 1 touchpad: open/);
    expect((await run("touches", file("presses.csv"), "--confidence", "2")).err).toContain(
      "a probability from 0.001 to 0.999",
    );
  });
});
