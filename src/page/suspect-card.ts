import {
  type ConnectorFinding,
  type Evidence,
  isAccused,
  type WalkDiagnosis,
} from "../domain/findings.ts";
import { circuitName, circuitOf, connectorOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type { WorkStep } from "../domain/work.ts";
import { cautionsFor } from "../report/cautions.ts";
import { limitText } from "../report/limit-text.ts";
import { circuitText, connectorName } from "../report/names.ts";
import { mayLiftPad } from "../report/pad-lift.ts";
import { replacingCard, suspectsCard } from "../report/work-cards.ts";
import { limitVolts } from "../rooms/circuit-room.ts";
import { english } from "../words/english.ts";
import { sentence } from "../words/figure-words.ts";
import { cardView, cautionLine } from "./card-view.ts";
import { h, put, refill } from "./element.ts";
import { chanceWords, ohmsWords, voltsWords } from "./numbers.ts";
import { latestVolts } from "./place-picker.ts";
import { profileDrawing } from "./profile-drawing.ts";
import { soundCircuit } from "./sound-points.ts";

function evidenceTable(finding: ConnectorFinding): HTMLElement {
  const row = (one: Evidence): HTMLElement =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, `${circuitText(one)}, ${one.point}`),
      h("td", {}, voltsWords(one.volts)),
      h("td", {}, voltsWords(one.expectedIfSound)),
      h("td", {}, one.speaks === "for" ? "for the fault" : "against it"),
    );
  const title = `Readings that bear on the ${connectorName(finding)}`;
  return h(
    "div",
    { class: "wide", tabindex: "0", role: "region", "aria-label": title },
    h(
      "table",
      {},
      h("caption", {}, "What the readings say"),
      h(
        "thead",
        {},
        h(
          "tr",
          {},
          ...["reading", "read", "if sound", "speaks"].map((name) =>
            h("th", { scope: "col" }, name),
          ),
        ),
      ),
      h("tbody", {}, ...finding.evidence.map(row)),
    ),
  );
}

function worstWords(finding: ConnectorFinding): string {
  const { worst } = finding;
  const { ohms } = worst;
  const interval = `90\u00A0%: ${ohmsWords(ohms.low)} to ${ohmsWords(ohms.high)}`;
  return `Its worst contact, ${circuitText(worst)}: ${ohmsWords(ohms.median)} (${interval}), which drops ${voltsWords(finding.voltsLost)}. Circuits that suffer: ${finding.circuits.join(", ")}.`;
}

function notToldApart(finding: ConnectorFinding): HTMLElement | null {
  if (finding.inseparableFrom.length === 0) return null;
  const wanted = finding.wouldSeparate;
  const how =
    wanted === null ? "" : ` Reading ${circuitText(wanted)} at the ${wanted.point} would tell.`;
  return h(
    "p",
    { class: "note" },
    h("strong", {}, "Not told apart: "),
    `a fault at the ${finding.inseparableFrom.join(" or the ")} fits as well.${how}`,
  );
}

/** Its worst circuit's volts, against what a sound path would show. */
function picture(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
  finding: ConnectorFinding,
): HTMLElement | null {
  const circuit = circuitOf(pool, finding.worst);
  const own = readings.filter((one) => sameCircuit(one, finding.worst));
  const first = own[0];
  if (first === undefined || circuit === undefined) return null;
  const volts = latestVolts(own.filter(isResting));
  const title = `Volts along ${circuitText(circuit)}`;
  const drawing = profileDrawing(circuit, limitVolts(pool), {
    title,
    read: (point) => volts({ ...circuitName(circuit), point }),
    sound: soundCircuit(pool, walk.emf, first),
    faultAt: isAccused(finding) ? finding.point : null,
  });
  const words = `${title}, timer side left. Band: where a sound path would lie (90\u00A0%). Dotted: your limit, ${limitText(pool, english.figures)}.`;
  return h("figure", {}, drawing, h("figcaption", { class: "small" }, words));
}

/** What a card offers to do about its connector. */
export interface CardWork {
  /** Cleaning or replacing is proposed, so how it is done and the cautions go with it. */
  readonly proposed: boolean;
  /** It was cleaned today, and that was not enough. */
  readonly cleanedInVain: boolean;
  readonly nodes: readonly (HTMLElement | null)[];
}

/** One suspect: its line in the ranking, and behind it what speaks for and against it. */
export function suspectCard(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
  finding: ConnectorFinding,
  rank: number,
  open: boolean,
  work: CardWork,
): HTMLElement {
  const chance = chanceWords(finding.atFault);
  const card = h(
    "details",
    { class: "suspect", "data-key": connectorName(finding), open },
    h(
      "summary",
      {},
      h("span", { class: "rank" }, `${rank}.`),
      h("span", { class: "suspect-name" }, sentence(connectorName(finding))),
      h("strong", { class: "chance" }, `${chance} at fault`),
      h("span", { class: "small" }, `drops ${voltsWords(finding.voltsLost)}`),
    ),
  );
  // What to do, then why, then how sure.
  if (work.proposed) {
    const cautions = h("div", {});
    const show = (): void =>
      refill(
        cautions,
        cautionLine(cautionsFor(...stepsFor(pool, finding)), connectorName(finding)),
      );
    // They count as shown from then on.
    if (open) show();
    else card.firstElementChild?.addEventListener("click", show, { once: true });
    put(card, cautions, howTo(pool, walk, finding, work));
  }
  put(
    card,
    ...work.nodes,
    picture(pool, walk, readings, finding),
    notToldApart(finding),
    finding.evidence.length > 0 && evidenceTable(finding),
    h("p", {}, worstWords(finding)),
  );
  return card;
}

/** How it is seen to, step by step, and the reading that ends it: the look first where it may be broken. */
function howTo(
  pool: Pool,
  walk: WalkDiagnosis,
  finding: ConnectorFinding,
  { cleanedInVain }: CardWork,
): HTMLElement {
  const kind = connectorOf(pool, finding)?.class ?? "outlet";
  const sound = soundCircuit(pool, walk.emf, { ...finding.worst, meter: "", step: 0.01 });
  const expected = sound.find(({ point }) => point === finding.worst.point)?.median;
  const volts = expected === undefined ? "what its neighbours read" : voltsWords(expected);
  const card = cleanedInVain ? replacingCard(kind) : suspectsCard(kind, finding.worst);
  return cardView(card, finding.point, volts);
}

const stepsFor = (pool: Pool, finding: ConnectorFinding): readonly WorkStep[] =>
  mayLiftPad(pool, finding) ? ["clean", "replace", "lift-pads"] : ["clean", "replace"];
