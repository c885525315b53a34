import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { AxeResults, RunOptions } from "axe-core";
import type { Page } from "playwright-core";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What axe-core finds wrong with a page as it is shown, the rule of 7 to 1 included. */
export async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe);
  const results = await page.evaluate(async () => {
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    const options: RunOptions = {
      runOnly: { type: "tag", values: tags },
      rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } },
    };
    const runner = (globalThis as unknown as { axe: { run(o: RunOptions): Promise<AxeResults> } })
      .axe;
    // A screen that is drawn anew while axe looks leaves it with nothing to look at: once more, then.
    for (let tries = 1; ; tries += 1) {
      const all = await runner.run(options);
      const enhanced = await runner.run({
        runOnly: { type: "rule", values: ["color-contrast-enhanced"] },
      });
      const found = [...all.violations, ...enhanced.violations];
      if (all.passes.length >= 15 && (enhanced.passes.length === 1 || found.length > 0))
        return found.flatMap((one) =>
          one.nodes.map((node) => `${one.id}: ${node.html.slice(0, 120)}`),
        );
      if (tries === 3)
        throw new Error(
          `axe saw too little: ${all.passes.length} rules, ${enhanced.passes.length} of contrast`,
        );
    }
  });
  return results;
}
