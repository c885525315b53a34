import { mkdirSync, mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test, vi } from "vitest";
import { buildPage } from "../../src/cli/build-page.ts";
import { licenceNotices } from "../../src/cli/licence-notices.ts";

/**
 * The licences of the packages ask that their notices go along with their code. What is in the page
 * is taken from the bundler's own list of inputs, and what must go along from each package's file.
 */

// Bundles the whole page: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000 });

const words = (text: string): string => text.replaceAll(/\s+/g, " ").trim();

test("every package whose code is in the page has its notice there, word for word", async () => {
  const { text, inputs } = await buildPage();
  const notices = words(
    /<script type="text\/plain" id="licence-notices">([\s\S]*?)<\/script>/.exec(text)?.[1] ?? "",
  );
  const folders = new Set(
    inputs.flatMap((path) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0] ?? []),
  );
  const names: string[] = [];
  for (const folder of folders) {
    const { name, version } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
    names.push(name);
    expect(notices).toContain(`${name} ${version}`);
    const file = readdirSync(folder).find((one) => one.startsWith("LICENSE")) ?? "LICENSE";
    const paragraphs = readFileSync(join(folder, file), "utf8").split(/\n\s*\n/);
    // Headings such as "MIT License" name the terms; the terms themselves are what must go along.
    const terms = paragraphs.flatMap((one) => one.split(/(?<=^Copyright .*)\n/m)).map(words);
    for (const one of terms.filter((part) => part.length > 30)) expect(notices).toContain(one);
    expect(terms.filter((part) => part.startsWith("Copyright")).length).toBeGreaterThan(0);
  }
  expect(names).toEqual(expect.arrayContaining(["vega", "d3-array", "zod", "yaml", "csv-parse"]));
  // The same wording stands there once.
  expect(notices.match(/Permission is hereby granted, free of charge/g)?.length).toBeLessThan(6);
});

test("a package without a licence file can't go into the page", () => {
  const folder = join(mkdtempSync(join(tmpdir(), "licences-")), "node_modules", "unlicensed");
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "package.json"), '{ "name": "unlicensed", "version": "1.0.0" }');
  expect(() => licenceNotices([join(folder, "index.js")])).toThrow(/no licence file/);
});
