import { cardSheet } from "../report/card-sheet.ts";
import { handOver } from "../report/hand-over.ts";
import { counted } from "../report/names.ts";
import { verdict } from "../report/pads-text.ts";
import { roundCsv } from "../report/round-csv.ts";
import { roundSheet } from "../report/round-sheet.ts";
import { planRound } from "../rooms/meet-room.ts";
import type { App } from "./app.ts";
import type { DayAnswer } from "./day-task.ts";
import { button, h, refill } from "./element.ts";
import { localDay } from "./local-time.ts";
import { saveFile } from "./save-file.ts";

/** The round as the command plans it: how long it takes, and the sheet to print. */
export function roundView(app: App): HTMLElement {
  const { pool } = app;
  const meter = pool?.meters[0];
  if (pool === null || meter === undefined) return h("div", {});
  const round = planRound(pool, meter);
  const head = { date: localDay(new Date()), by: "" };
  const minutes = Math.ceil(round.seconds / 60);
  const off =
    round.windows.length > 1 ? `, the meter switched on ${round.windows.length} times` : "";
  return h(
    "div",
    {},
    h(
      "p",
      {},
      `${counted(round.readings, "reading")} at every point, about ${counted(minutes, "minute")}${off}. Under Walk fewer do: only those that tell something are asked for.`,
    ),
    h(
      "div",
      { class: "row" },
      button("Save the sheet to print", () =>
        saveFile({ name: "round.html", type: "text/html", content: roundSheet(round, head) }),
      ),
      button("Save it as CSV", () =>
        saveFile({ name: "round.csv", type: "text/csv", content: roundCsv(round, head) }),
      ),
    ),
  );
}

/** Every card on paper. */
export const cardsButton = (app: App): HTMLElement =>
  button("Save the cards to print", () => {
    const content = cardSheet(app.pool?.name ?? "", "what a sound path reads");
    saveFile({ name: "cards.html", type: "text/html", content });
  });

/** One page for whoever comes next. */
export function handOverView(app: App, answer: () => DayAnswer | null): HTMLElement {
  const said = h("p", { class: "said", role: "status" });
  const save = (): void => {
    const { pool, contents } = app;
    const known = answer();
    if (pool === null || contents === null || known === null)
      return void refill(said, "Not yet: the day is still being worked out.");
    const { pads } = known.ready;
    const content = handOver({
      pool,
      walk: known.latest,
      work: contents.work,
      parts: contents.parts,
      pads: pads === null ? null : verdict(pads),
      date: localDay(new Date()),
    });
    saveFile({ name: "hand-over.html", type: "text/html", content });
    refill(said, "The page is written: print it, and add whom to ask.");
  };
  return h(
    "div",
    {},
    h(
      "p",
      {},
      "The gear, how it stands, what was done last, where the parts are, what to do when: one page.",
    ),
    button("Save the hand-over page", save),
    said,
  );
}
