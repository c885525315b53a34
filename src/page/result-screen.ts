import { currencyOf } from "../domain/currency.ts";
import type {
  ConnectorFinding,
  Explanation,
  PlaceToRead,
  WalkDiagnosis,
} from "../domain/findings.ts";
import { isAccused } from "../domain/findings.ts";
import { circuitName, placeCells } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { explanationCautions } from "../report/cautions.ts";
import { readAgainWords } from "../report/decision-words.ts";
import { explanationTold } from "../report/explanation-told.ts";
import { limitText } from "../report/limit-text.ts";
import { connectorName, counted, explanationLabel, leadFinding } from "../report/names.ts";
import { againLines } from "../report/verdict-lines.ts";
import { workCards } from "../report/work-cards.ts";
import { isWorthSaying } from "../report/worth-saying.ts";
import { english } from "../words/english.ts";
import { sentence } from "../words/figure-words.ts";
import { workKey } from "./add-work.ts";
import type { App } from "./app.ts";
import { cardView, cautionLine } from "./card-view.ts";
import { decisionBox } from "./decision-box.ts";
import { button, type Child, h, refill } from "./element.ts";
import { laneTables } from "./lane-table.ts";
import { chanceWords, ohmsWords, voltsWords } from "./numbers.ts";
import { outcomesOf, toSeeTo } from "./outcome.ts";
import type { Screen } from "./screen.ts";
import { type CardWork, suspectCard } from "./suspect-card.ts";
import type { Findings } from "./walk-ranking.ts";
import { lastWork, workForm } from "./work-form.ts";

/** So many suspects are listed at once; the rest follow on demand. */
const shortList = 6;

/** What the walk's readings say: ranking, evidence, map, what to read again. */
export class ResultScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #walks = h("select", { id: "walk-shown", name: "walk" });
  readonly #verdict = h("p", { class: "verdict", role: "status" });
  readonly #said = h("p", { class: "said", role: "status" });
  /** Says that what is shown does not yet hold the last reading. */
  readonly #late = h("p", { class: "small", role: "status" });
  /** How far a long computation is; no status, or every step would be read aloud. */
  readonly #progress = h("p", { class: "small" });
  readonly #ahead = h("p", { class: "small" });
  readonly #body = h("div", { class: "ranking", "aria-busy": "false" });
  readonly #lastWork = h("div", {});
  /** Forms keep what is typed in them, whatever is worked out meanwhile. */
  readonly #forms = new Map<string, HTMLElement>();
  #all = false;
  #shown: Findings | null = null;

  constructor(app: App) {
    this.#app = app;
    this.#walks.addEventListener("change", () => app.showWalk(this.#walks.value));
    this.node = h(
      "section",
      { "aria-labelledby": "result-title" },
      h(
        "div",
        { class: "title-line" },
        h("h1", { id: "result-title", tabindex: "-1" }, "Result"),
        this.#late,
      ),
      h(
        "div",
        { class: "row screen-only" },
        h("label", { for: "walk-shown" }, "Walk"),
        this.#walks,
      ),
      this.#verdict,
      this.#said,
      this.#progress,
      this.#ahead,
      this.#lastWork,
      this.#body,
    );
  }

  update(): void {
    const { pool, findings, ranking, walkShown } = this.#app;
    if (pool === null) return;
    this.#fillWalks();
    this.#fillLate();
    const ahead = this.#app.ahead.words ?? "";
    if (this.#ahead.textContent !== ahead) refill(this.#ahead, ahead);
    refill(
      this.#lastWork,
      lastWork(this.#app, (words) => refill(this.#said, words)),
    );
    const readings = this.#app.readingsOf(walkShown);
    const none =
      readings.length === 0
        ? "No readings yet. Take the first one under Walk."
        : ranking === "failed"
          ? "No verdict."
          : "Working it out …";
    if (findings === null || readings.length === 0) this.#fillNone(none);
    else if (this.#shown !== findings) {
      this.#shown = findings;
      refill(this.#verdict, verdictWords(pool, findings.diagnosis, this.#toDo(pool, findings)));
      this.#fillBody(pool, findings, readings);
    }
  }

  #fillNone(words: string): void {
    // A status is read aloud when it is filled anew.
    if (this.#verdict.textContent !== words) refill(this.#verdict, words);
    refill(this.#body);
    this.#shown = null;
  }

  /** Old findings stand until new ones come, and this says so. */
  #fillLate(): void {
    const { findings, ranking } = this.#app;
    this.#body.setAttribute("aria-busy", ranking === "awaited" ? "true" : "false");
    const words =
      findings === null || ranking === "current"
        ? ""
        : ranking === "awaited"
          ? "Working it out again …"
          : "What follows does not hold the last reading.";
    if (this.#late.textContent !== words) refill(this.#late, words);
  }

  #fillWalks(): void {
    const { walks, walkShown } = this.#app;
    refill(
      this.#walks,
      ...walks.map((walk) => h("option", { value: walk, selected: walk === walkShown }, walk)),
    );
  }

  #fillBody(pool: Pool, findings: Findings, readings: readonly Reading[]): void {
    const walk = findings.diagnosis;
    const open = new Set(
      [...this.#body.querySelectorAll<HTMLDetailsElement>("details[open]")].map(
        (one) => one.dataset["key"],
      ),
    );
    const wanted = toSeeTo(pool, walk);
    const first = this.#toDo(pool, findings);
    const done = wanted.filter((one) => !first.includes(one));
    const others = walk.connectors.filter((one) => !wanted.includes(one));
    const said = walk.explanations.filter(isWorthSaying);
    const shown = this.#all ? others : others.slice(0, shortList);
    const cardOf = (finding: ConnectorFinding, index: number): HTMLElement =>
      suspectCard(
        pool,
        walk,
        readings,
        finding,
        index + 1,
        open.has(connectorName(finding)),
        this.#workOn(pool, findings, finding),
      );
    const rest = others.length - shown.length;
    refill(
      this.#body,
      ...outcomesOf(this.#app).map(({ state, words }) =>
        h("p", { class: `outcome ${state}` }, sentence(words)),
      ),
      first.length > 0 && h("h2", {}, "To see to, in walking order"),
      ...first.map(cardOf),
      first.length > 0 && this.#decideAction(findings),
      done.length > 0 && h("h2", {}, "Seen to since"),
      ...done.map((one, index) => cardOf(one, first.length + index)),
      ...readAgainList(this.#app, walk),
      ...said.map((one) => explanationNote(one, walk, pool)),
      cautionLine(explanationCautions(said, english), "explanations"),
      h("h2", {}, "Map"),
      h(
        "p",
        { class: "small" },
        `From the timer out. Weak is under ${limitText(pool, english.figures)}.`,
      ),
      ...laneTables(pool, walk, readings),
      h("h2", {}, wanted.length > 0 ? "Less likely" : "Most likely first"),
      ...shown.map((finding, index) => cardOf(finding, wanted.length + index)),
      rest > 0 &&
        button(`Show ${rest} less likely ones`, () => this.#showAll(), { class: "quiet" }),
      factsLine(walk, readings, pool),
      this.#cards(pool, walk),
      h(
        "div",
        { class: "row screen-only" },
        button("Print this result", () => window.print()),
        button("Export and share", () => this.#app.go("files")),
      ),
    );
  }

  /** The connectors to see to that nobody has worked on since. */
  #toDo(pool: Pool, { walk, diagnosis }: Findings): readonly ConnectorFinding[] {
    const seenTo = this.#app.seenTo(walk);
    return toSeeTo(pool, diagnosis).filter((one) => !seenTo.includes(workKey(placeCells(one))));
  }

  /** How everything is done that the day needs. */
  #cards(pool: Pool, walk: WalkDiagnosis): HTMLElement {
    const point = pool.points.at(-1) ?? "pod";
    const cards = workCards.map((card) => cardView(card, point, voltsWords(walk.emf.median)));
    return h("div", { class: "screen-only" }, h("h2", {}, "How to do it"), ...cards);
  }

  /** Beside a suspect: what to do about it, and where to write down that it was done. */
  #workOn(pool: Pool, findings: Findings, finding: ConnectorFinding): CardWork {
    const decision = findings.decided?.decisions.find(
      ({ place }) => connectorName(place) === connectorName(finding),
    );
    const since = findings.decided?.readAgain.find(
      ({ place }) => connectorName(place) === connectorName(finding),
    );
    const proposed = isAccused(finding) || decision !== undefined;
    const place = workKey(placeCells(finding));
    const before = this.#app.rechecks.find(({ work }) => workKey(work.entered) === place);
    return {
      proposed,
      cleanedInVain: before?.walk === findings.walk && before.work.entered.action !== "replaced",
      nodes: [
        since === undefined ? null : h("p", {}, readAgainWords(since)),
        decision === undefined ? null : decisionBox(pool, decision, currencyOf(pool)),
        this.#workForm(finding, proposed),
      ],
    };
  }

  /** The form itself beside a suspect; beside any other connector a button that brings it. */
  #workForm(finding: ConnectorFinding, proposed: boolean): HTMLElement {
    const key = JSON.stringify([this.#app.record?.id, connectorName(finding)]);
    const known = this.#forms.get(key);
    if (known !== undefined) return known;
    const form = (): HTMLElement => {
      const made = workForm(this.#app, finding);
      this.#forms.set(key, made);
      return made;
    };
    if (proposed) return form();
    const bring = button("Write work in the log", () => bring.replaceWith(form()), {
      class: "quiet screen-only",
      "aria-label": `Write work in the log: ${connectorName(finding)}`,
    });
    return bring;
  }

  #decideAction(findings: Findings): Child {
    if (findings.decided !== null) return null;

    return h(
      "div",
      { class: "screen-only" },
      button("Work out: clean or replace", () => this.#decide()),
      h(
        "p",
        { class: "small" },
        "Prices are those of the pool file's section costs; what it leaves out has a default, which is a guess.",
      ),
    );
  }

  async #decide(): Promise<void> {
    refill(this.#said, "Working out what each course costs …");
    try {
      await this.#app.decide((words) => refill(this.#progress, words));
      refill(this.#said, "Done: open a suspect to see its best course.");
    } catch (error) {
      refill(this.#said, `Not decided: ${error instanceof Error ? error.message : String(error)}`);
    } finally {
      refill(this.#progress);
    }
  }

  #showAll(): void {
    this.#all = true;
    this.#shown = null;
    this.update();
  }
}

function verdictWords(pool: Pool, walk: WalkDiagnosis, toDo: readonly ConnectorFinding[]): string {
  const blind = walk.meters.filter((one) => one.blind).map((one) => one.meter);
  const all = toSeeTo(pool, walk).length;
  if (toDo.length > 0)
    return `${counted(toDo.length, "connector")} ${toDo.length < all ? "still " : ""}to see to: ${toDo.map(connectorName).join(", ")}.`;
  if (all > 0) return "All that this walk asked for is seen to since.";
  if (blind.length > 0)
    return `No verdict: meter ${blind.join(", ")} cannot show a path that is at its limit.`;
  const open = walk.circuits.filter(({ verdict }) => verdict !== "sound").length;
  return open === 0
    ? `All ${counted(walk.circuits.length, "circuit")} read sound.`
    : `${leadFinding(walk.connectors)}.`;
}

function factsLine(walk: WalkDiagnosis, readings: readonly Reading[], pool: Pool): HTMLElement {
  const circuits = new Set(readings.map((one) => JSON.stringify([one.lane, one.device]))).size;
  const all = pool.lanes.length * pool.devices.length;
  const { median, low, high } = walk.emf;
  const sight = walk.meters
    .map((one) =>
      one.detectionLimit === null
        ? `Meter ${one.meter} cannot show a contact's resistance.`
        : `Meter ${one.meter} shows contacts from ${ohmsWords(one.detectionLimit)} up.`,
    )
    .join(" ");
  return h(
    "p",
    { class: "facts" },
    `${counted(readings.length, "reading")} of ${circuits} of ${all} circuits. Supply ${voltsWords(median)} (90\u00A0%: ${voltsWords(low)} to ${voltsWords(high)}). ${sight}`,
  );
}

function explanationNote(one: Explanation, walk: WalkDiagnosis, pool: Pool): HTMLElement {
  const { words, wouldTell } = explanationTold(one, walk, pool, english);
  return h(
    "p",
    { class: "note" },
    h("strong", {}, `${explanationLabel(one)}: `),
    `${sentence(words)} (${chanceWords(one.probability)})`,
    wouldTell !== null && ` What would tell: ${wouldTell}`,
  );
}

function readAgainList(app: App, walk: WalkDiagnosis): readonly Child[] {
  const list = againLines(walk, english);
  if (list.length === 0) return [];
  const again = (one: PlaceToRead): void => {
    app.choose({ ...circuitName(one), point: one.point });
    app.go("walk");
  };
  return [
    h("h2", {}, "Read again"),
    h(
      "ul",
      { class: "plain" },
      ...list.map(({ who, why, place }) => {
        const shown = place?.shown ? `, ${voltsWords(place.shown.volts)}` : "";
        return h(
          "li",
          { class: "again-item" },
          h("span", {}, `${sentence(who)}${shown}: ${why}.`),
          place !== null && button("Read it again", () => again(place)),
        );
      }),
    ),
  ];
}
