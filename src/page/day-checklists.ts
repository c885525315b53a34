import { type Checklist, checklists } from "../report/checklists.ts";
import { workCards } from "../report/work-cards.ts";
import { cardView } from "./card-view.ts";
import { button, h } from "./element.ts";
import { localDay } from "./local-time.ts";

const key = "dropwise-ticked";

/** What is ticked, each with the day on which it was. */
function ticked(): Record<string, string> {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "{}") as Record<string, string>;
  } catch {
    return {};
  }
}

function keep(ticks: Readonly<Record<string, string>>): void {
  try {
    localStorage.setItem(key, JSON.stringify(ticks));
  } catch {
    // Then a reload forgets the ticks: no reading hangs on them.
  }
}

/** One list to tick off, each line with its card where there is one; ticks stay until it is begun anew. */
function listView(pool: string, list: Checklist): HTMLElement {
  const id = (item: string): string => `${pool}/${item}`;
  const left = h("span", { class: "small" });
  const summary = h("summary", {}, h("span", {}, list.title), left);
  const boxes: HTMLInputElement[] = [];
  const count = (): void => {
    const done = boxes.filter(({ checked }) => checked).length;
    left.textContent = ` ${done} of ${list.items.length}`;
  };
  const lines = list.items.map(({ id: item, words, card }) => {
    const box = h("input", {
      type: "checkbox",
      on: {
        change: () => {
          const { [id(item)]: _, ...others } = ticked();
          keep(box.checked ? { ...others, [id(item)]: localDay(new Date()) } : others);
          count();
        },
      },
    });
    box.checked = ticked()[id(item)] !== undefined;
    boxes.push(box);
    const how = workCards.find((one) => one.id === card);
    return h(
      "li",
      {},
      h("label", { class: "tick" }, box, h("span", {}, words)),
      how !== undefined && cardView(how, "last point", "what a sound path reads"),
    );
  });
  const anew = (): void => {
    for (const box of boxes) box.checked = false;
    const ids = new Set(list.items.map((one) => id(one.id)));
    keep(Object.fromEntries(Object.entries(ticked()).filter(([one]) => !ids.has(one))));
    count();
  };
  count();
  return h(
    "details",
    { class: "checklist" },
    summary,
    h("ul", { class: "ticks" }, ...lines),
    button("Begin this list anew", anew, { class: "quiet" }),
  );
}

/** All lists, in the order of a season. */
export const checklistViews = (pool: string): readonly HTMLElement[] =>
  checklists.map((list) => listView(pool, list));

/** Every card, for whoever looks one up. */
export const allCards = (): readonly HTMLElement[] =>
  workCards.map((card) => cardView(card, "last point", "what a sound path reads"));
