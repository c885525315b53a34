import { briefly, type Caution, cautionOf } from "../report/cautions.ts";
import { CARD_PREFACE, endsWords, toolsWords, type WorkCard } from "../report/work-cards.ts";
import { english } from "../words/english.ts";
import { h } from "./element.ts";

/** Where each caution was first shown whole: there it stays whole until the page is closed. */
const key = "dropwise-cautions-seen";
const seen = new Map<string, string>(kept().map((id) => [id, ""]));

function kept(): readonly string[] {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "[]") as string[];
  } catch {
    return [];
  }
}

/** They were shown whole there. */
function remember(said: readonly Caution[], where: string): void {
  for (const { id } of said) if (!seen.has(id)) seen.set(id, where);
  try {
    localStorage.setItem(key, JSON.stringify([...seen.keys()]));
  } catch {
    // Then they are shown whole again: no harm.
  }
}

/**
 * Cautions at their step: one line that opens, and is open the first time that one of them is shown.
 * `where` names the step; they count as shown from now on.
 */
export function cautionLine(said: readonly Caution[], where: string): HTMLElement | null {
  if (said.length === 0) return null;
  const open = said.some(({ id }) => (seen.get(id) ?? where) === where);
  remember(said, where);
  return h(
    "details",
    { class: "caution", open },
    h("summary", {}, h("span", {}, briefly(english.cautions, "any", said))),
    ...said.map(({ words }) => h("p", {}, words)),
  );
}

/** A work card, folded; its cautions count as shown once it was opened. */
export function cardView(card: WorkCard, point: string, volts: string): HTMLElement {
  const body = h("div", { class: "card-body" });
  const node = h("details", { class: "work-card" }, h("summary", {}, card.title), body);
  node.addEventListener("toggle", () => {
    if (!node.open || body.childElementCount > 0) return;
    body.append(
      h("p", { class: "small" }, CARD_PREFACE),
      h("p", {}, toolsWords(card)),
      h(
        "ol",
        { class: "steps" },
        ...card.steps.map(({ words, cautions }, at) =>
          h("li", {}, h("p", {}, words), cautionLine(cautions.map(cautionOf), `${card.id} ${at}`)),
        ),
      ),
      h("p", { class: "ends" }, `Done when: ${endsWords(card, point, volts)}`),
    );
  });
  return node;
}
