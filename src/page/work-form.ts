import type { ConnectorFinding } from "../domain/findings.ts";
import type { WorkAction } from "../domain/work.ts";
import { connectorName } from "../report/names.ts";
import { addWork } from "./add-work.ts";
import type { App } from "./app.ts";
import { button, h } from "./element.ts";
import { localMoment } from "./local-time.ts";

/**
 * Writes down what was done to a suspect. What was done ends the walk: readings from after it are
 * of another path than those before.
 */
export function workForm(
  app: App,
  finding: ConnectorFinding,
  say: (words: string) => void,
): HTMLElement {
  const logIt = async (action: WorkAction): Promise<void> => {
    const { lane, device, point } = finding;
    const log = addWork(app.record?.work ?? null, {
      done_at: localMoment(new Date()),
      lane: String(lane ?? ""),
      device: device ?? "",
      point,
      action,
    });
    if (log === null) {
      say("Not logged: the imported work log has no column for it, or is not UTF-8.");
      return;
    }
    await app.changeFiles((now) => ({ ...now, work: log }));
    await app.newWalk();
    say(`Logged: ${connectorName(finding)} ${action}. Readings now go to a new walk.`);
  };
  return h(
    "fieldset",
    { class: "done screen-only" },
    h("legend", {}, "Done? Write it in the work log"),
    h(
      "div",
      { class: "row" },
      ...(["cleaned", "reseated", "replaced"] as const).map((action) =>
        button(action[0]?.toUpperCase() + action.slice(1), () => void logIt(action), {
          "aria-label": `${action}: ${connectorName(finding)}`,
        }),
      ),
    ),
  );
}
