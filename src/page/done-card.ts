import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { circuitText, connectorName, counted } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import type { App } from "./app.ts";
import { button, type Child, h, refill } from "./element.ts";
import { voltsWords } from "./numbers.ts";
import { outcomesOf, toSeeTo } from "./outcome.ts";
import type { LeftToDo } from "./walk-in-hand.ts";

/** The end of a walk looks like one: what there is to see to, and one button. */
export class DoneCard {
  readonly node = h("div", { class: "done-card", role: "status" });
  readonly #app: App;
  #shown = "";

  readonly #otherPoint: () => void;

  constructor(app: App, otherPoint: () => void) {
    this.#app = app;
    this.#otherPoint = otherPoint;
  }

  /** True where the walk is over and nobody has chosen to read on. */
  update(pool: Pool): boolean {
    const { findings, asked, place, walkNow, toRecheck } = this.#app;
    const walk = findings?.walk === walkNow ? (findings?.diagnosis ?? null) : null;
    const worked = outcomesOf(this.#app);
    // Nothing is asked for that anybody can get at.
    const isOver = walk !== null && toRecheck.length === 0 && asked?.length === 0 && place === null;
    const said = isOver ? worked : worked.filter(({ state }) => state === "open");
    const key = JSON.stringify([isOver, said, isOver && walk.connectors.map((one) => one.atFault)]);
    if (key !== this.#shown) {
      this.#shown = key;
      refill(
        this.node,
        ...said.map(({ state, words }) => h("p", { class: `outcome ${state}` }, sentence(words))),
        ...(isOver ? this.#end(pool, walk, worked.length > 0) : []),
      );
    }
    this.node.hidden = !isOver && said.length === 0;
    return isOver;
  }

  #end(pool: Pool, walk: WalkDiagnosis, afterWork: boolean): readonly Child[] {
    const left = this.#app.leftToDo;
    if (left !== null) return this.#next(left);
    const places = toSeeTo(pool, walk);
    const { leftOut } = this.#app;
    const open = walk.circuits.filter(({ verdict }) => verdict === "read-again").length;
    const head =
      places.length > 0
        ? `Done: ${counted(places.length, "connector")} to see to`
        : open > 0
          ? `Done, but ${counted(open, "circuit")} can’t be called sound`
          : afterWork
            ? "Done: all that was read again is sound"
            : `Done: all ${counted(walk.circuits.length, "circuit")} read sound`;
    return [
      h("h2", { class: "done-head" }, head),
      places.length > 0 &&
        h(
          "ol",
          { class: "done-list" },
          ...places.map((one) =>
            h("li", {}, `${sentence(connectorName(one))}, drops ${voltsWords(one.voltsLost)}`),
          ),
        ),
      leftOut.length > 0 &&
        h(
          "p",
          {},
          `Not reached: ${leftOut.map((one) => `${circuitText(one)} ${one.point}`).join(", ")}.`,
        ),
      button(
        ["See the result", "See to it"][places.length] ?? "See to them, one by one",
        () => this.#app.go("result"),
        { class: "main" },
      ),
      this.#readOn(),
    ];
  }

  /** Nobody is kept from reading on. */
  #readOn(): HTMLElement {
    return button("Other point", this.#otherPoint, { class: "quiet wide-button" });
  }

  /** After one work comes the next that the same result has asked for. */
  #next({ walk, others }: LeftToDo): readonly Child[] {
    const go = (): void => {
      this.#app.showWalk(walk);
      this.#app.go("result");
    };
    return [
      h("h2", { class: "done-head" }, `Still to see to: ${counted(others.length, "connector")}`),
      h("ol", { class: "done-list" }, ...others.map(({ name }) => h("li", {}, sentence(name)))),
      button(`Next: ${others[0]?.name ?? ""}`, go, { class: "main" }),
      this.#readOn(),
    ];
  }
}
