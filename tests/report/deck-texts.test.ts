import { describe, expect, test } from "vitest";
import { meetDefaults } from "../../src/domain/meet.ts";
import type { PadNote } from "../../src/domain/pad.ts";
import type { TouchCheck } from "../../src/domain/touch.ts";
import { padsDue } from "../../src/meet/pads-due.ts";
import { pressedDevices } from "../../src/meet/pressed-devices.ts";
import { meetReady } from "../../src/meet/ready.ts";
import { padsText } from "../../src/report/pads-text.ts";
import { readyText } from "../../src/report/ready-text.ts";
import { touchesText } from "../../src/report/touches-text.ts";
import { kestrelBay, walkOf } from "../meet/pool.ts";

const touch = (lane: number, tried: number, registered: number): TouchCheck => ({
  lane,
  device: "touchpad",
  end: null,
  kind: "fingertip",
  tried,
  registered,
  place: null,
  heat: null,
  takenAt: null,
  by: null,
  line: 2,
});
const water = (day: string, celsius: number, strokes: number | null): PadNote => ({
  takenAt: { text: day, day, seconds: null },
  water: celsius,
  unit: "C",
  strokes,
  lane: strokes === null ? null : 1,
  soakedMinutes: strokes === null ? null : 12,
  by: null,
  note: null,
  line: 2,
});
/** Words as one line, however a terminal breaks them. */
const flat = (text: string): string => text.replace(/\s+/g, " ");
const plate3 = walkOf(kestrelBay, ({ lane, device }, point) =>
  lane === 3 && point === "plate" && device === "touchpad" ? 0.02 : undefined,
);

describe("the meet morning in words", () => {
  const ready = meetReady({
    pool: kestrelBay,
    date: "2026-06-13",
    looks: [{ diagnosis: plate3, day: "2026-06-11", seconds: null }],
    work: [],
    touches: null,
    pads: padsDue([water("2026-05-02", 24, 6), water("2026-06-13", 25, null)], meetDefaults.pads),
    record: null,
    minutesLeft: 30,
  });
  const words = readyText(ready);

  test("every lane has its verdict, the weak one its reason and its fall-back", () => {
    // Nobody pressed anything: what reads sound is not called ready, nor proven.
    expect(flat(words)).toContain("7 read sound, not pressed, 0 to watch, 1 not ready");
    expect(words).not.toMatch(/proven|\bready {2}/);
    expect(words).toContain(
      "Lane 3  NOT READY  touchpad: path at fault (98 %), most likely at the plate\n" +
        "        fall-back: button-1, button-2 read sound, not pressed",
    );
    for (const lane of kestrelBay.lanes) expect(words).toContain(`Lane ${lane}  `);
  });

  test("what was pressed says when it was read, when it was pressed and, where given, by whom", () => {
    const pressed = (lane: number, device: string, more: Partial<TouchCheck>): TouchCheck => ({
      ...touch(lane, 40, 40),
      device,
      ...more,
    });
    const at = (day: string) => ({ text: day, day, seconds: null });
    const said = readyText(
      meetReady({
        pool: kestrelBay,
        date: "2026-06-13",
        looks: [{ diagnosis: plate3, day: "2026-06-11", seconds: null }],
        work: [],
        touches: [
          pressed(1, "touchpad", { takenAt: at("2026-06-12"), by: "RB" }),
          pressed(1, "touchpad", { takenAt: at("2026-06-13"), by: "KM" }),
          pressed(1, "button-1", { takenAt: at("2026-06-13"), by: "KM" }),
          pressed(2, "touchpad", {}),
        ],
        pads: null,
        record: null,
        minutesLeft: null,
      }),
    );
    expect(flat(said)).toContain(
      "Lane 1 ready touchpad: read sound on 2026-06-11, pressed on 2026-06-13 by KM " +
        "fall-back: button-1 ready (read sound on 2026-06-11, pressed on 2026-06-13 by KM); " +
        "button-2: not pressed yet",
    );
    // Undated presses by nobody: that it was pressed is all that can be said.
    expect(flat(said)).toContain("Lane 2 ready touchpad: read sound on 2026-06-11, pressed fall");
    expect(flat(words)).toContain("Lane 1 reads sound touchpad: read on 2026-06-11");
  });

  test("what to put right, with the cautions beside it", () => {
    expect(words).toContain("Clean the lane 3 plate connector and read it again: 12 min");
    expect(words).toContain("then ready: lane 3");
    expect(flat(words)).toContain("alcohol away from oxidisers and flames");
  });

  test("too little time is said lane by lane, and a pad is set before it is pressed", () => {
    const notes = [water("2026-05-02", 24, 6), water("2026-06-13", 28, null)];
    const input = {
      pool: kestrelBay,
      date: "2026-06-13",
      looks: [{ diagnosis: plate3, day: "2026-06-11", seconds: null }],
      work: [],
      touches: [touch(1, 5, 5)],
      pads: padsDue(notes, { ...meetDefaults.pads, readjustDegrees: 3 }),
      record: null,
    };
    expect(readyText(meetReady({ ...input, minutesLeft: 5 }))).toContain(
      "No time for: lane 1, 2, 3, 4, 5, 6, 7, 8.",
    );
    const steps = meetReady({ ...input, minutesLeft: null }).plan.steps.map((step) => step.id);
    expect(steps[0]).toBe("pad strokes");
    expect(steps.indexOf("set pad / 1")).toBeLessThan(steps.indexOf("press / 1 / touchpad"));
  });

  test("it leaves to the meet's rules which time counts", () => {
    expect(words).toContain("is for the meet's own rules and its officials to say");
    // The 0.30 s difference is a rule of some federations only: never stated as fact.
    expect(words).not.toMatch(/0\.30? ?s/);
  });

  test("the bag says how likely it is enough", () => {
    expect(words).toMatch(/To carry \(everything together is enough with 9[5-9] %, asked 95 %\)/);
    expect(words).toContain("hook-and-loop tie");
  });
});

describe("touch checks in words", () => {
  const looks = [{ diagnosis: plate3, day: "2026-06-11", seconds: null }];

  test("misses with a weak path point to the path, with a good one to the pad", () => {
    const devices = pressedDevices(kestrelBay, [touch(3, 5, 2), touch(4, 5, 2)], looks);
    const words = touchesText("Kestrel Bay", devices, meetDefaults, true);
    const [lane4, lane3] = [words.indexOf("Lane 4"), words.indexOf("Lane 3")];
    expect(flat(words.slice(lane4))).toContain("The misses point to the pad or its plug");
    expect(flat(words.slice(lane3))).toContain("The misses point to the path");
    expect(words).toContain("two people to a pad");
  });

  test("five good presses: an honest interval and how many more", () => {
    const devices = pressedDevices(kestrelBay, [touch(1, 5, 5)], looks);
    const words = touchesText("Kestrel Bay", devices, meetDefaults, true);
    // SciPy 1.17.1, Beta(0.5, 5.5): 5 % quantile 0.0004, 95 % quantile 0.306, median 0.0423.
    expect(words).toContain("misses 4 % (90 % interval under 1 % to 31 %)");
    expect(words).toContain("8 more presses prove it if all register");
  });
});

// Common practice, as in tests/meet/pads-due.test.ts: 3 degrees, a soak of 10 minutes.
describe("pads in words", () => {
  const asked = { ...meetDefaults.pads, readjustDegrees: 3, soakMinutes: 10 };

  test("where nobody said how much of a change matters, it says what is missing", () => {
    const notes = [water("2026-05-02", 24, 6), water("2026-06-13", 27, null)];
    const due = padsDue(notes, meetDefaults.pads);
    expect(due.state).toBe("unknown degrees");
    const words = flat(padsText("Kestrel Bay", due));
    expect(words).toContain("changed by 3.0 °C since the pads were adjusted");
    expect(words).toContain("not in the pool file (meet: readjust_degrees");
    // Where the water is the same, no figure is needed.
    expect(padsDue(notes.slice(0, 1), meetDefaults.pads).state).toBe("fine");
  });

  test("the unit is said, in both cases", () => {
    const notes = [water("2026-05-02", 24, 6), water("2026-06-13", 27, null)];
    expect(flat(padsText("Kestrel Bay", padsDue(notes, asked)))).toContain(
      "changed by 3.0 °C since they were adjusted (due at 3.0 °C)",
    );
    const fahrenheit = padsDue(notes, { ...asked, unit: "F" });
    expect(flat(padsText("Kestrel Bay", fahrenheit))).toContain("changed by 5.4 °F");
  });

  test("what to do, why, and how", () => {
    const notes = [water("2026-05-02", 24, 6), water("2026-06-13", 27, null)];
    const words = padsText("Kestrel Bay", padsDue(notes, asked));
    expect(flat(words)).toContain("soak 10 minutes");
    expect(flat(words)).toContain("every pad alike, spares included. Last found: 6 (lane 1)");
    // By hand: 3 K of 297.15 K is 1.01 %, of 101 325 Pa 1023 Pa.
    expect(words).toContain("1.01 %, 1023 Pa");
    expect(words).toContain("two people to a pad");
  });
});
