import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { deckBrowser } from "./deck-browser.ts";
import { enterReading, openTab, phone, savedBytes, setUpPool, watchedPage } from "./deck-page.ts";

/** Files by drag and drop, and what is handed to the phone's own share sheet. */

const deck = deckBrowser();

/** Drops files on the page as a browser does, and says whether the page took the drag over. */
const drop = (page: Page, files: readonly (readonly [string, string])[]): Promise<boolean> =>
  page.evaluate((all) => {
    const dataTransfer = new DataTransfer();
    for (const [name, text] of all) dataTransfer.items.add(new File([text], name));
    const event = (type: string): DragEvent =>
      new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true });
    // What is not prevented the browser does itself: it would open the file and leave the page.
    return ["dragover", "drop"].every((type) => !document.body.dispatchEvent(event(type)));
  }, files);

test("files dropped anywhere are taken, the pool file first; a drop of no file does nothing", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await page.getByLabel("Name of the pool").waitFor();
  const sheet = "lane,point,volts\n1,pod,4.4\n2,pod,4.97\n";
  const pool = "pool: Kestrel Bay\nmodel: plain\nlanes: [1, 2]\ndevices: [touchpad]\n";
  const log = "done_at,lane,device,point,action\n2026-05-01,2,,plate,cleaned\n";
  const taken = await drop(page, [
    ["sheet.csv", sheet],
    ["log.csv", log],
    ["pool.yaml", pool],
  ]);
  expect(taken).toBe(true);
  await page.getByText("pool.yaml: new pool Kestrel Bay.").waitFor();
  await page.getByText("log.csv: 1 line of work.").waitFor();
  await page.getByText("sheet.csv: 2 readings.").waitFor();
  expect((await savedBytes(page, "Save sheet.csv")).toString()).toBe(sheet);
  expect((await savedBytes(page, "Save log.csv")).toString()).toBe(log);

  await openTab(page, "Pool");
  expect(await drop(page, [])).toBe(true);
  expect(await page.getByRole("heading", { name: "Pool", exact: true }).isVisible()).toBe(true);
  expect(errors).toEqual([]);
  await context.close();
});

interface Shared {
  readonly title: string;
  readonly files: readonly {
    readonly name: string;
    readonly type: string;
    readonly text: string;
  }[];
}

test("what is shared is what is saved; a share that is closed or comes too late is no failure", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  // This browser has no share sheet: one that keeps what it is given, or refuses as it is told to.
  await context.addInitScript(() => {
    const sheet = { refuses: "", shared: [] as unknown[] };
    Object.assign(window, { sheet });
    Object.assign(Navigator.prototype, {
      canShare: ({ files }: ShareData) => (files ?? []).length > 0,
      share: async ({ title, files = [] }: ShareData) => {
        if (sheet.refuses !== "") throw new DOMException("no", sheet.refuses);
        const texts = files.map(async (file) => ({
          name: file.name,
          type: file.type,
          text: await file.text(),
        }));
        sheet.shared.push({ title, files: await Promise.all(texts) });
      },
    });
  });
  const { page, errors } = await watchedPage(context);
  const shared = async (count: number): Promise<Shared> => {
    await page.waitForFunction(
      (wanted) =>
        (window as unknown as { sheet: { shared: unknown[] } }).sheet.shared.length === wanted,
      count,
    );
    return page.evaluate(() =>
      (window as unknown as { sheet: { shared: Shared[] } }).sheet.shared.at(-1),
    ) as Promise<Shared>;
  };
  const refuse = (name: string): Promise<unknown> =>
    page.evaluate(
      (refuses) =>
        Object.assign((window as unknown as { sheet: { refuses: string } }).sheet, { refuses }),
      name,
    );
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.40");
  await openTab(page, "Files");

  await page.getByRole("button", { name: "Share all files" }).click();
  const all = await shared(1);
  expect(all.title).toBe("Kestrel Bay");
  expect(all.files.map((file) => file.name)).toEqual(["pool.yaml", "readings.csv"]);
  for (const { name, text } of all.files)
    expect(text).toBe((await savedBytes(page, `Save ${name}`)).toString());

  await refuse("NotAllowedError");
  await page.getByRole("button", { name: "Share the memo" }).click();
  await page.getByText("It is ready to share now: press the button once more.").waitFor();
  await refuse("");
  await page.getByRole("button", { name: "Share the memo" }).click();
  const memo = await shared(2);
  expect(memo.files.map(({ name, type }) => [name, type])).toEqual([["memo.html", "text/html"]]);
  expect(memo.files[0]?.text).toMatch(/[Tt]iming path of Kestrel Bay/);

  await page.getByRole("button", { name: "Share the report" }).click();
  const report = await shared(3);
  expect(report.files.map((file) => file.name)).toEqual([
    expect.stringMatching(/^report-[\d-]+\.html$/),
  ]);
  expect(report.files[0]?.text).toBe((await savedBytes(page, "Save the report (HTML)")).toString());

  await savedBytes(page, "Save the memo (HTML)");
  await page.getByText("The memo is written.").waitFor();
  await refuse("AbortError");
  await page.getByRole("button", { name: "Share the report" }).click();
  await page.getByText("The report is written.").waitFor();
  expect(errors).toEqual([]);
  await context.close();
});
