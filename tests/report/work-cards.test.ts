import { expect, test } from "vitest";
import { cardSheet } from "../../src/report/card-sheet.ts";
import { cautionOf, cautions } from "../../src/report/cautions.ts";
import { cleaningCard, endsWords, replacingCard, workCards } from "../../src/report/work-cards.ts";

/** What the acts are is common practice; that a card ends in a reading or a press is the project's rule. */
test("a card has at most seven steps, and a reading or a press that ends it", () => {
  expect(workCards).toHaveLength(12);
  for (const card of workCards) {
    expect(card.steps.length).toBeLessThanOrEqual(7);
    const ends = endsWords(card, "pod", "5.00 V");
    expect(ends).toMatch(/pod (still )?reads 5\.00 V|presses/);
    expect(ends).not.toMatch(/POINT|\bV, V\b/);
  }
});

test("solvents bring their cautions to the very step, over water nobody is alone, two people to a pad", () => {
  for (const { steps } of workCards)
    for (const { words, cautions } of steps) {
      const said = cautions.map((id) => cautionOf(id).words).join(" ");
      if (/wipe/.test(words) && /[Bb]rush/.test(words))
        expect(said).toMatch(/oxidiser.*flammable/s);
      if (/swimmers;? ?two people take/.test(words))
        expect(said).toMatch(/alone over water.*Two people/s);
      if (/^Seal/.test(words)) expect(said).toMatch(/safety sheet/);
    }
});

test("every card is on the printed sheet, step by step, with the cautions in full behind them", () => {
  const sheet = cardSheet("Kestrel <Bay>", "5.00 V");
  expect(sheet).toContain("<h1>Kestrel &lt;Bay&gt;: work cards</h1>");
  const texts = sheet.replaceAll(/<[^>]*>/g, " ");
  for (const card of workCards) {
    expect(texts).toContain(card.title);
    for (const { words } of card.steps) expect(texts).toContain(words);
    expect(texts).toContain(endsWords(card, "last point", "5.00 V"));
  }
  for (const { words } of cautions) expect(texts).toContain(words.replaceAll("'", "&#39;"));
});

test("each class of connector has its card", () => {
  const classes = ["outlet", "harness", "plate", "pod", "stacked plug"] as const;
  const ids = classes.map((kind) => cleaningCard(kind).id);
  expect(ids).toEqual(["clean-outlet", "clean-outlet", "clean-plate", "clean-pod", "clean-pod"]);
  const anew = classes.map((kind) => replacingCard(kind).id);
  expect(anew).toEqual(["new-plate", "new-plug", "new-plate", "new-plug", "new-plug"]);
});
