import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { checklists } from "../../src/report/checklists.ts";
import { handOver } from "../../src/report/hand-over.ts";
import { workCards } from "../../src/report/work-cards.ts";

// The five occasions and the upper bound stand in the project's own brief for this page: a list that
// nobody can hold in mind on a wet deck is no list.
test("five occasions, none longer than seven lines, every card named exists", () => {
  expect(checklists.map(({ id }) => id)).toEqual([
    ...["install", "warm-up", "between", "after", "season"],
  ]);
  for (const { items } of checklists) {
    expect(items.length).toBeGreaterThan(3);
    expect(items.length).toBeLessThanOrEqual(7);
  }
  const items = checklists.flatMap((list) => list.items);
  expect(new Set(items.map(({ id }) => id)).size).toBe(items.length);
  const cards = new Set(workCards.map(({ id }) => id));
  const named = items.flatMap(({ card }) => (card === null ? [] : [card]));
  expect(named.length).toBeGreaterThan(5);
  expect(named.filter((card) => !cards.has(card))).toEqual([]);
  // After a failed touch the plug is changed before a pad is lifted.
  const missed = items.find(({ words }) => words.startsWith("A pad that missed"));
  expect(missed?.words).toMatch(/change its plug to the neighbour’s lane/);
});

test("a hand-over names gear, state, work and parts, and treats every name as text", () => {
  const made = readPool("pool: A <b> Bay\nlanes: 3\ndevices: [touchpad]\n", "pool.yaml");
  if (!made.ok) throw new Error("no pool");
  const page = handOver({
    ...{ pool: made.value, walk: null, work: [], pads: null, date: "2026-06-13" },
    parts: [
      { tag: "P1", kind: "wall plate", where: "spare", since: null, note: null, line: 2 },
      { tag: "P2", kind: "pod", where: "lane 2", since: null, note: null, line: 3 },
      { tag: "P3", kind: "pod", where: "gone", since: null, note: null, line: 4 },
    ],
  });
  expect(page).toContain("A &lt;b&gt; Bay: hand-over of 2026-06-13");
  expect(page).not.toContain("<b>");
  expect(page).toContain(
    "3 lanes, 3 circuits; read from the timer out: timer, harness, plate, pod.",
  );
  expect(page).toContain("Nobody has walked yet.");
  expect(page).toContain("Spares: P1 (wall plate).");
  expect(page).toContain("P2 (pod): lane 2.");
  expect(page).not.toContain("P3");
});
