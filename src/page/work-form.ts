import type { ConnectorFinding } from "../domain/findings.ts";
import type { WorkAction } from "../domain/work.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { connectorName } from "../report/names.ts";
import type { App } from "./app.ts";
import { button, h, refill } from "./element.ts";
import { localMoment } from "./local-time.ts";
import { newFile, type PoolRecord, withRow } from "./record.ts";

const columns = ["done_at", "lane", "device", "point", "action", "minutes", "cost", "by", "note"];

/** The pool with one line more in its work log, and readings from now on in a new walk. */
function withWork(now: PoolRecord, row: readonly string[]): PoolRecord {
  const log = now.work ?? newFile("work.csv", csvLine(columns));
  return { ...now, work: withRow(log, csvLine(row).trimEnd()) };
}

/**
 * Writes down what was done to a suspect. What was done ends the walk: readings from after it are
 * of another path than those before.
 */
export function workForm(app: App, finding: ConnectorFinding): HTMLElement {
  const said = h("p", { class: "said", role: "status" });
  const log = async (action: WorkAction): Promise<void> => {
    const { lane, device, point } = finding;
    const cells = [
      localMoment(new Date()),
      lane ?? "",
      device ?? "",
      point,
      action,
      "",
      "",
      "",
      "",
    ];
    await app.changeFiles((now) => withWork(now, cells.map(String)));
    await app.newWalk();
    refill(said, `Logged: ${connectorName(finding)} ${action}. Readings now go to a new walk.`);
  };
  return h(
    "fieldset",
    { class: "done screen-only" },
    h("legend", {}, "Done? Write it in the work log"),
    h(
      "div",
      { class: "row" },
      ...(["cleaned", "reseated", "replaced"] as const).map((action) =>
        button(action[0]?.toUpperCase() + action.slice(1), () => void log(action), {
          "aria-label": `${action}: ${connectorName(finding)}`,
        }),
      ),
    ),
    said,
  );
}
