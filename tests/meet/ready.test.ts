import { describe, expect, test } from "vitest";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import { meetDefaults } from "../../src/domain/meet.ts";
import type { TouchCheck } from "../../src/domain/touch.ts";
import type { WorkEntry } from "../../src/domain/work.ts";
import type { Look } from "../../src/meet/latest-look.ts";
import { padsDue } from "../../src/meet/pads-due.ts";
import { type MeetInput, meetReady } from "../../src/meet/ready.ts";
import { placeOf } from "../plain-pool.ts";
import { kestrelBay, walkOf } from "./pool.ts";

const at = (day: string) => ({ text: day, day, seconds: null });
const touch = (
  lane: number,
  device: string,
  tried: number,
  registered: number,
  kind: TouchCheck["kind"] = "fingertip",
): TouchCheck => ({
  lane,
  device,
  end: null,
  kind,
  tried,
  registered,
  place: null,
  heat: null,
  takenAt: null,
  by: null,
  line: 2,
});
const work = (day: string, lane: number | null, point: string): WorkEntry => ({
  doneAt: at(day),
  ...placeOf(point, lane),
  action: "cleaned",
  minutes: null,
  cost: null,
  by: null,
  note: null,
  line: 2,
});
const look = (diagnosis: WalkDiagnosis, day: string | null = "2026-06-11"): Look => ({
  diagnosis,
  day,
  seconds: null,
});
const morning = (more: Partial<MeetInput> = {}): MeetInput => ({
  pool: kestrelBay,
  date: "2026-06-13",
  looks: [look(walkOf(kestrelBay))],
  work: [],
  touches: null,
  pads: null,
  record: null,
  minutesLeft: null,
  ...more,
});
const lane = (ready: ReturnType<typeof meetReady>, which: number) =>
  ready.lanes.find((l) => l.lane === which)!;

const plate3 = walkOf(kestrelBay, ({ lane: l, device }, point) =>
  l === 3 && point === "plate" && device === "touchpad" ? 0.02 : undefined,
);

describe("meet morning", () => {
  test("all paths sound and fresh: every lane ready, both buttons its fall-back", () => {
    const ready = meetReady(morning());
    expect(ready.counts).toEqual({ ready: 8, watch: 0, "not ready": 0 });
    expect(lane(ready, 5).fallBack).toEqual(["button-1", "button-2"]);
    expect(ready.plan.steps).toEqual([]);
    expect(ready.touchesKnown).toBe(false);
  });

  test("a fouled plate: not ready, its reason, its fall-back, and what to do first", () => {
    const ready = meetReady(morning({ looks: [look(plate3)] }));
    expect(lane(ready, 3).verdict).toBe("not ready");
    expect(lane(ready, 3).primary.reasons[0]).toMatchObject({
      kind: "path at fault",
      point: "plate",
    });
    expect(lane(ready, 3).fallBack).toEqual(["button-1", "button-2"]);
    expect(ready.fixes.map((fix) => [fix.kind, fix.lane, fix.point])).toEqual([
      ["clean", 3, "plate"],
    ]);
    expect(ready.plan.steps[0]?.makes).toEqual([3]);
    expect(meetReady(morning({ looks: [look(plate3)], minutesLeft: 5 })).plan.left.length).toBe(1);
  });

  test("a fouled plate in an old walk: cleaning it ends with a reading, so none is planned beside it", () => {
    const ready = meetReady(morning({ looks: [look(plate3, "2026-06-01")] }));
    expect(lane(ready, 3).primary.reasons.map(({ kind }) => kind)).toContain("walk too old");
    const ofLane3 = ready.fixes.filter((fix) => fix.lane === 3);
    expect(ofLane3.map(({ kind }) => kind)).toEqual(["clean"]);
    expect(ofLane3[0]!.chance).toBeGreaterThan(0.5);
  });

  test("the same plate cleaned since: watch, and read it again", () => {
    const ready = meetReady(
      morning({ looks: [look(plate3)], work: [work("2026-06-12", 3, "plate")] }),
    );
    expect(lane(ready, 3).verdict).toBe("watch");
    expect(ready.fixes.map((fix) => fix.kind)).toEqual(["read"]);
    // Work before the walk is in the walk already.
    const before = meetReady(
      morning({ looks: [look(plate3)], work: [work("2026-06-10", 3, "plate")] }),
    );
    expect(lane(before, 3).verdict).toBe("not ready");
  });

  test("read again after the cleaning: the newest look at each lane counts, not the newest walk", () => {
    const again = walkOf({ ...kestrelBay, lanes: [3] });
    const ready = meetReady(
      morning({
        looks: [look(plate3), look(again, "2026-06-12")],
        work: [work("2026-06-11", 3, "plate")],
      }),
    );
    expect(ready.counts).toEqual({ ready: 8, watch: 0, "not ready": 0 });
  });

  test("an outlet that the whole pool shares is one fix for every lane that waits for it", () => {
    const outlet = walkOf(kestrelBay, ({ lane: l, device }, point) =>
      Number(l) <= 3 && point === "timer" && device === "touchpad" ? 0.05 : undefined,
    );
    const ready = meetReady(morning({ looks: [look(outlet)] }));
    expect(ready.counts["not ready"]).toBe(3);
    expect(ready.fixes.length).toBe(1);
    expect(ready.plan.steps[0]?.makes).toEqual([1, 2, 3]);
  });

  test("nothing read, a walk too old, and a meet without a walk are watched, never ready", () => {
    const some = walkOf(kestrelBay);
    const unread = { ...some, contacts: some.contacts.filter((c) => c.lane !== 4) };
    const ready = meetReady(morning({ looks: [look(unread)] }));
    expect(lane(ready, 4).verdict).toBe("watch");
    expect(lane(ready, 4).primary.reasons[0]?.kind).toBe("not read");
    expect(
      meetReady(morning({ looks: [look(walkOf(kestrelBay), "2026-06-01")] })).counts.watch,
    ).toBe(8);
    expect(meetReady(morning({ looks: [] })).counts.watch).toBe(8);
  });

  test("a blind meter proves nothing", () => {
    const blind = {
      ...walkOf(kestrelBay),
      meters: [{ meter: "deck", detectionLimit: null, blind: true }],
    };
    expect(meetReady(morning({ looks: [look(blind)] })).counts.ready).toBe(0);
  });

  test("touches: missed ones on a good path fall on the pad, unpressed pads are watched", () => {
    const ready = meetReady(
      morning({
        touches: [
          touch(1, "touchpad", 20, 20),
          touch(2, "touchpad", 5, 2),
          touch(3, "touchpad", 5, 5),
          touch(5, "touchpad", 20, 20),
          touch(5, "touchpad", 5, 4, "open-hand"),
        ],
      }),
    );
    expect(lane(ready, 1).verdict).toBe("ready");
    expect(lane(ready, 2).verdict).toBe("not ready");
    expect(lane(ready, 2).primary.reasons[0]?.kind).toBe("pad at fault");
    // Five good presses do not prove 10 % at 90 %: 8 more do (Jeffreys; SciPy: Beta(0.5, 13.5)
    // 1.17.1 gives 0.9053 at 0.1, Beta(0.5, 12.5) 0.8919).
    expect(lane(ready, 3).primary.reasons).toMatchObject([{ kind: "press on", presses: 8 }]);
    expect(lane(ready, 4).primary.reasons).toMatchObject([{ kind: "not pressed" }]);
    expect(lane(ready, 5).primary.reasons[0]?.kind).toBe("false touches");
    expect(lane(ready, 1).fallBack).toEqual([]);
  });

  test("what a pad missed before its plug was mended is not held against it; old presses neither", () => {
    const missed = { ...touch(2, "touchpad", 5, 1), takenAt: at("2026-06-11") };
    const good = { ...touch(2, "touchpad", 20, 20), takenAt: at("2026-06-12") };
    const mended = { ...work("2026-06-12", 2, "pod"), device: "touchpad" };
    const looks = [look(walkOf(kestrelBay), "2026-06-12")].map((l) => ({ ...l, seconds: 2e9 }));
    const before = meetReady(morning({ looks, touches: [missed, good] }));
    expect(lane(before, 2).primary.missed?.tried).toBe(25);
    const after = meetReady(morning({ looks, touches: [missed, good], work: [mended] }));
    expect(lane(after, 2).primary.missed?.tried).toBe(20);
    const old = { ...missed, takenAt: at("2026-05-01") };
    expect(lane(meetReady(morning({ looks, touches: [old, good] })), 2).primary.missed?.tried).toBe(
      20,
    );
  });

  test("pads due put every lane on watch, and the strokes are found once", () => {
    const notes = [
      { ...water(24), strokes: 6, soakedMinutes: 12, lane: 1 },
      { ...water(28), takenAt: at("2026-06-13") },
    ];
    const ready = meetReady(
      morning({ pads: padsDue(notes, { ...meetDefaults.pads, readjustDegrees: 3 }) }),
    );
    expect(ready.counts.watch).toBe(8);
    expect(ready.fixes.filter((fix) => fix.kind === "pad strokes").length).toBe(1);
    expect(ready.fixes.filter((fix) => fix.kind === "set pad").length).toBe(8);
    expect(ready.plan.steps[0]?.id).toBe("pad strokes");
  });
});

const water = (degrees: number) => ({
  takenAt: at("2026-05-02"),
  water: degrees,
  unit: "C" as const,
  strokes: null,
  lane: null,
  soakedMinutes: null,
  by: null,
  note: null,
  line: 2,
});
