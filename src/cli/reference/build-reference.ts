import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { packageEntries } from "./entries.ts";
import { gaps } from "./gaps.ts";
import { referencePages } from "./pages.ts";

/**
 * Writes the reference of every export as static pages, `dist/reference`, and names what a doc comment
 * leaves unsaid of meaning, unit, range, errors or source (a test fails on any). Run by `npm run docs`,
 * and by the build; no command of the package itself.
 */

const entries = packageEntries();
const pages = referencePages(entries);
rmSync("dist/reference", { recursive: true, force: true });
mkdirSync("dist/reference", { recursive: true });
for (const [name, text] of pages) writeFileSync(`dist/reference/${name}`, text);
const exported = entries.reduce((sum, entry) => sum + entry.exported.length, 0);
process.stdout.write(`dist/reference: ${pages.size} pages, ${exported} exports\n`);
for (const gap of gaps(entries)) process.stderr.write(`unsaid: ${gap}\n`);
