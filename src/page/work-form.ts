import type { ConnectorFinding } from "../domain/findings.ts";
import {
  type CircuitName,
  circuitName,
  placeCells,
  sameCircuit,
  servedBy,
} from "../domain/place.ts";
import type { WorkAction } from "../domain/work.ts";
import { rowPlace } from "../report/log-text.ts";
import { connectorName } from "../report/names.ts";
import { type LoggedWork, workKey } from "./add-work.ts";
import type { App } from "./app.ts";
import { button, h, refill } from "./element.ts";
import { field, text } from "./labelled-field.ts";
import { localMoment } from "./local-time.ts";
import { toSeeTo } from "./outcome.ts";
import { workMoment } from "./walk-in-hand.ts";

/** Initials stay for the next line: one person does a round. */
let lastBy = "";

/** So many circuits tell what became of a connector that many pass through. */
const ENOUGH = 2;

/** The circuits to read again after a work: those that were weak or in doubt, else the first few. */
export function toReadAgain(app: App, finding: ConnectorFinding): readonly CircuitName[] {
  const { pool, findings } = app;
  if (pool === null || findings === null) return [];
  const served = servedBy(pool, finding).map(circuitName);
  const judged = served.flatMap(
    (name) => findings.diagnosis.circuits.find((one) => sameCircuit(one, name)) ?? [],
  );
  const wanted = judged.filter(({ verdict }) => verdict !== "sound");
  return (wanted.length > 0 ? wanted : judged).slice(0, ENOUGH).map(circuitName);
}

/** All that the result in sight asks for, by which the next one is found. */
function restOf({ pool, findings }: App): LoggedWork["of"] {
  if (pool === null || findings === null) return null;
  const others = toSeeTo(pool, findings.diagnosis).map((one) => ({
    name: connectorName(one),
    key: workKey(placeCells(one)),
  }));
  return { walk: findings.walk, others };
}

/** When the work was done: as it was entered, else now, which is after all that was read. */
function momentOf({ contents }: App, entered: string): string {
  if (entered !== "") return localMoment(new Date(entered));
  return contents === null ? localMoment(new Date()) : workMoment(contents, new Date());
}

/**
 * Writes down what was done to a connector. What was done ends the walk: readings from after it are
 * of another path than those before.
 */
export function workForm(app: App, finding: ConnectorFinding): HTMLElement {
  const said = h("p", { class: "said", role: "status" });
  const say = (words: string): void => refill(said, words);
  const when = field("When (empty: now)", { type: "datetime-local", step: "60" });
  const minutes = field("Minutes it took", { inputmode: "decimal" });
  const cost = field("What it cost", { inputmode: "decimal" });
  const by = field("Done by", { value: lastBy });
  const note = field("Note", {});
  const logIt = async (action: WorkAction): Promise<void> => {
    try {
      const entered = {
        done_at: momentOf(app, text(when)),
        ...placeCells(finding),
        action,
        minutes: text(minutes),
        cost: text(cost),
        by: text(by),
        note: text(note),
      };
      const wrong = await app.logs.work(entered, toReadAgain(app, finding), restOf(app));
      if (wrong !== null) return say(`Not logged: ${wrong}.`);
    } catch {
      return say("Not logged: it could not be stored.");
    }
    lastBy = text(by);
    for (const { input } of [when, minutes, cost, note]) input.value = "";
    say(`Logged: ${connectorName(finding)} ${action}.`);
    // What was touched is read again next; only that.
    if (app.toRecheck.length > 0) app.go("walk");
  };
  return h(
    "fieldset",
    { class: "done screen-only" },
    h("legend", {}, "Done? Write it in the work log"),
    h(
      "details",
      {},
      h("summary", {}, "When, minutes, cost, who, note"),
      ...[when, minutes, cost, by, note].map((one) => one.node),
    ),
    h(
      "div",
      { class: "row" },
      ...(["cleaned", "reseated", "replaced"] as const).map((action) =>
        button(action[0]?.toUpperCase() + action.slice(1), () => logIt(action), {
          "aria-label": `${action}: ${connectorName(finding)}`,
        }),
      ),
    ),
    said,
  );
}

/** The last line that this page wrote in the work log, with the button that takes it back. */
export function lastWork(app: App, say: (words: string) => void): HTMLElement | null {
  const entered = app.record?.logged.at(-1)?.entered;
  if (entered === undefined) return null;
  const { action = "", done_at = "" } = entered;
  const place = rowPlace(entered);
  const takeBack = async (): Promise<void> => {
    try {
      await app.logs.undoWork();
      // The button is gone with the line; whoever goes by keyboard goes on from the top.
      document.getElementById("result-title")?.focus({ preventScroll: true });
      say(`Taken back from the work log: ${place} ${action}.`);
    } catch {
      say("Not taken back: it could not be stored.");
    }
  };
  return h(
    "div",
    { class: "row screen-only last-work" },
    h(
      "p",
      {},
      `Last in the work log: ${place} ${action}, ${done_at.slice(0, 16).replace("T", " ")}.`,
    ),
    button("Take that line back", () => takeBack()),
  );
}
