import { cautionOf } from "../report/cautions.ts";
import { CARD_PREFACE, endsWords, type WorkCard } from "../report/work-cards.ts";
import { h } from "./element.ts";

/** Cautions that were shown whole once; later they are one line each, which opens. */
const key = "dropwise-cautions-seen";
const seen = new Set<string>(kept());

function kept(): readonly string[] {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "[]") as string[];
  } catch {
    return [];
  }
}

/** These were shown whole. */
export function remember(ids: readonly string[]): void {
  for (const id of ids) seen.add(id);
  try {
    localStorage.setItem(key, JSON.stringify([...seen]));
  } catch {
    // Then they are shown whole again: no harm.
  }
}

/** A caution beside its step: whole the first time, later one line that opens. */
export function cautionNode(words: string, id: string): HTMLElement {
  if (!seen.has(id)) return h("p", { class: "step-caution" }, words);
  const [short = words] = words.split(/[:.;]/, 1);
  return h(
    "details",
    { class: "step-caution" },
    h("summary", {}, `Caution: ${short}`),
    h("p", {}, words),
  );
}

/** A work card, folded; its cautions count as seen once it was opened. */
export function cardView(card: WorkCard, point: string, volts: string): HTMLElement {
  const body = h("div", { class: "card-body" });
  const node = h("details", { class: "work-card" }, h("summary", {}, card.title), body);
  node.addEventListener("toggle", () => {
    if (!node.open || body.childElementCount > 0) return;
    const tools = card.tools.length === 0 ? "" : `From the bag: ${card.tools.join(", ")}.`;
    body.append(
      h("p", { class: "small" }, CARD_PREFACE),
      h("p", {}, tools),
      h(
        "ol",
        { class: "steps" },
        ...card.steps.map(({ words, cautions }) =>
          h(
            "li",
            {},
            h("p", {}, words),
            ...cautions.map((id) => cautionNode(cautionOf(id).words, id)),
          ),
        ),
      ),
      h("p", { class: "ends" }, `Done when: ${endsWords(card, point, volts)}`),
    );
    remember(card.steps.flatMap(({ cautions }) => cautions));
  });
  return node;
}
