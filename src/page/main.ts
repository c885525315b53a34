import { App, type ScreenName } from "./app.ts";
import { DayScreen } from "./day-screen.ts";
import { button, h, refill } from "./element.ts";
import { FilesScreen } from "./files-screen.ts";
import { PoolScreen } from "./pool-screen.ts";
import { ResultScreen } from "./result-screen.ts";
import type { Screen } from "./screen.ts";
import { WalkScreen } from "./walk-screen.ts";

/** Order of the tabs, the walk under the thumb first. */
const tabs: readonly (readonly [ScreenName, string])[] = [
  ["walk", "Walk"],
  ["result", "Result"],
  ["day", "Day"],
  ["files", "Files"],
  ["pool", "Pool"],
];

/** Puts the screens on the page and keeps the one that shows up to date. */
function frame(app: App): void {
  const files = new FilesScreen(app);
  const screens: Readonly<Record<ScreenName, Screen>> = {
    walk: new WalkScreen(app),
    result: new ResultScreen(app),
    day: new DayScreen(app),
    files,
    pool: new PoolScreen(app),
  };
  const banner = h("div", { class: "banner", role: "alert" });
  const title = h("p", { class: "pool-name" });
  const main = h("main", { id: "main" });
  const buttons = new Map(
    tabs.map(([name, label]) => [name, button(label, () => app.go(name), { class: "tab" })]),
  );
  const nav = h("nav", { class: "tabs", "aria-label": "Screens" }, ...buttons.values());
  document.body.append(h("header", { class: "top" }, title), banner, main, nav);

  let shown: ScreenName | null = null;
  let warned = "";
  const update = (): void => {
    const name = app.record === null && app.screen !== "files" ? "pool" : app.screen;
    title.textContent = app.record?.name ?? "Dropwise";
    const words = [...app.warnings.values()].join(" ");
    if (words !== warned) refill(banner, words);
    warned = words;
    const { node } = screens[name];
    screens[name].update();
    if (name !== shown) {
      main.replaceChildren(node);
      window.scrollTo(0, 0);
      if (shown !== null) node.querySelector<HTMLElement>("h1")?.focus({ preventScroll: true });
      screens[name].show?.();
    }
    shown = name;
    if (app.timing !== null) document.body.dataset["timing"] = JSON.stringify(app.timing);
    for (const [tab, node] of buttons) {
      node.setAttribute("aria-current", tab === name ? "page" : "false");
      node.disabled = app.record === null && tab !== "files" && tab !== "pool";
    }
  };
  app.listen(update);
  update();
  takeDrops((dropped) => void files.drop(dropped));
}

/** Files may be dropped anywhere on the page. */
function takeDrops(take: (files: readonly File[]) => void): void {
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const files = [...(event.dataTransfer?.files ?? [])];
    if (files.length > 0) take(files);
  });
}

async function start(): Promise<void> {
  const app = await App.open();
  frame(app);
  addEventListener("beforeunload", (event) => {
    if (app.losesAll) event.preventDefault();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void app.refresh();
  });
}

void start();
