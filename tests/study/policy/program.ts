import { decide, openPool, readSheet, readWork } from "../../../src/analyze.ts";
import { dayText } from "../../../src/domain/calendar.ts";
import type { Action } from "../../../src/domain/courses.ts";
import type { Pool } from "../../../src/domain/pool.ts";
import { followSeason } from "../../../src/season/follow-season.ts";
import type { Keeper, Question } from "../../../src/season/keeper.ts";
import { deck } from "./law.ts";
import type { Player, Work } from "./players.ts";

/** 2026-01-05, a Monday. */
const FIRST_DAY = 20_458;

/** What is done at once where the program says so: a look that finds the break ends in a new part. */
const works: Readonly<Record<Action, Work>> = {
  look: "replace",
  wait: "wait",
  "read-again": "read-again",
  clean: "clean",
  replace: "replace",
};

/** The pool as its keeper describes it; prices and all else are the program's own defaults. */
function poolOf(lanes: number): Pool {
  const sharing = { plate: "lane", pod: "device" };
  const chain = deck.points.map(
    (point, k) =>
      `  - { point: ${point}, connector: ${point} connector, wire_ohms: ${deck.wires[k]}, ` +
      `shared_by: ${sharing[point]}, class: ${point} }`,
  );
  const read = openPool(`pool: Study
lanes: ${lanes}
devices: [touchpad]
supply: { source_ohms: 0 }
meters:
  - { name: deck, load_ohms: ${deck.loadOhms}, resolution: 0.01 }
chain:
${chain.join("\n")}
limit: { volts: ${deck.limitVolts}, meter: deck }
`);
  if (!read.ok) throw new Error(read.error[0]!.message);
  return read.value;
}

/** Walks of before are not diagnosed again: for each, what was asked last. */
function memory(): Keeper {
  const answers = new Map<string, { readonly asked: string; readonly answer: unknown }>();
  const asked = ({ from }: Question): string => JSON.stringify(from.slice(1));
  return {
    known: <T>(question: Question): T | undefined => {
      const found = answers.get(`${question.what} ${question.walk}`);
      return found?.asked === asked(question) ? (found.answer as T) : undefined;
    },
    keep: (question, answer) => {
      answers.set(`${question.what} ${question.walk}`, { asked: asked(question), answer });
    },
  };
}

/**
 * The program itself: every walk, every reading again and every work is written down as its user would,
 * and what `decide` then says is done. At most two answers a day, as all who keep the study's pools.
 */
export function program(lanes: number): Player {
  const pool = poolOf(lanes);
  const keeper = memory();
  const [readings, work] = [["taken_at,lane,device,point,volts"], ["done_at,lane,point,action"]];
  let done = "";
  return {
    name: "decide, from its own readings",
    act: ({ week, stage, volts }) => {
      const day = dayText(FIRST_DAY + 7 * week);
      const hour = (h: number): string => `${day}T${String(h).padStart(2, "0")}`;
      done = `${hour(9 + 2 * stage)}:30:00`;
      for (const [lane, path] of volts.entries())
        for (const [k, shown] of (path ?? []).entries()) {
          const at = `${hour(8 + 2 * stage)}:${String(3 * lane + k).padStart(2, "0")}:00`;
          readings.push(`${at},${lane + 1},touchpad,${deck.points[k]},${shown.toFixed(2)}`);
        }
      if (stage > 2) return volts.map(() => deck.points.map((): Work => "wait"));
      const sheet = readSheet(readings.join("\n"), pool);
      const log = readWork(work.join("\n"), pool);
      if (sheet.rejected.length + log.rejected.length > 0) throw new Error("a row was refused");
      const season = followSeason(pool, sheet.readings, log.entries, undefined, { keeper });
      const { decisions } = decide(season!);
      return volts.map((path, lane) =>
        deck.points.map((point): Work => {
          const found = decisions.find(
            ({ place }) => place.point === point && place.lane === lane + 1,
          );
          return path === null || found === undefined ? "wait" : works[found.action];
        }),
      );
    },
    worked: (lane, k, action) => {
      const said = action === "clean" ? "cleaned" : "replaced";
      work.push(`${done},${lane + 1},${deck.points[k]},${said}`);
    },
  };
}
