import { isGone, isSpare, type Part, partsNow } from "../domain/part.ts";
import { stockWords } from "../report/lane-words.ts";
import type { App } from "./app.ts";
import type { DayAnswer } from "./day-task.ts";
import { button, h, refill } from "./element.ts";
import { field, text } from "./labelled-field.ts";
import { localMoment } from "./local-time.ts";
import { LogList } from "./log-list.ts";
import { chanceWords } from "./numbers.ts";

/** What to carry, and what of it lies in the store. */
export function bagList(app: App, { ready }: DayAnswer): HTMLElement {
  const { items, chanceEnough } = ready.bag;
  const parts = app.contents?.parts ?? [];
  return h(
    "div",
    {},
    h("p", { class: "small" }, `Everything together is enough: ${chanceWords(chanceEnough)}.`),
    h(
      "ul",
      { class: "bag" },
      ...items
        .filter(({ carry }) => carry > 0)
        .map(({ item, carry, chanceNeeded }) =>
          h(
            "li",
            {},
            h("strong", {}, `${carry} × `),
            `${item} (needed ${chanceWords(chanceNeeded)}${stockWords(item, parts)})`,
          ),
        ),
    ),
  );
}

/** Where every part is: its tag, its place, since when; spare or gone. */
export class DayParts {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #written: LogList;
  readonly #list = h("div", {});
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #tag = field("Tag on the part", {});
  readonly #kind = field("What it is, such as wall plate or pad plug", {});
  readonly #where = field("Place, such as lane 3 touchpad pod", {});
  readonly #note = field("Note to it", {});

  constructor(app: App) {
    this.#app = app;
    this.#written = new LogList(app, "parts");
    const fields = [this.#tag, this.#kind, this.#where, this.#note].map(({ node }) => node);
    this.node = h(
      "div",
      {},
      this.#list,
      h(
        "details",
        {},
        h("summary", {}, "A part came, moved or went"),
        ...fields,
        h(
          "div",
          { class: "row" },
          button("It is there now", () => this.#store(text(this.#where))),
          button("It is a spare", () => this.#store("spare")),
          button("It is gone", () => this.#store("gone")),
        ),
      ),
      this.#said,
      this.#written.node,
    );
  }

  update(): void {
    this.#written.update();
    const lines = this.#app.contents?.parts ?? [];
    const parts = partsNow(lines).filter((part) => !isGone(part));
    const gone = partsNow(lines).length - parts.length;
    const row = (part: Part): HTMLElement =>
      h(
        "tr",
        {},
        h("th", { scope: "row" }, part.tag),
        h("td", {}, part.kind),
        h("td", {}, isSpare(part) ? "spare" : part.where),
        h("td", {}, part.since?.day ?? ""),
      );
    const heads = ["part", "kind", "where", "since"];
    refill(
      this.#list,
      parts.length === 0 && h("p", {}, "No part has a tag yet."),
      parts.length > 0 &&
        h(
          "div",
          { class: "wide", tabindex: "0", role: "region", "aria-label": "Parts" },
          h(
            "table",
            {},
            h("thead", {}, h("tr", {}, ...heads.map((head) => h("th", { scope: "col" }, head)))),
            h("tbody", {}, ...parts.map(row)),
          ),
        ),
      gone > 0 && h("p", { class: "small" }, `${gone} gone.`),
    );
  }

  async #store(where: string): Promise<void> {
    const tag = text(this.#tag);
    const known = partsNow(this.#app.contents?.parts ?? []).find((part) => part.tag === tag);
    const wrong = await this.#app.logs.line("parts", {
      part: tag,
      kind: text(this.#kind) === "" ? (known?.kind ?? "") : text(this.#kind),
      where,
      since: localMoment(new Date()),
      note: text(this.#note),
    });
    refill(this.#said, wrong === null ? `Stored: ${tag}, ${where}.` : `Not stored: ${wrong}.`);
    if (wrong !== null) return;
    for (const { input } of [this.#tag, this.#kind, this.#where, this.#note]) input.value = "";
  }
}
