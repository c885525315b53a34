import type { Browser } from "playwright-core";
import { afterAll, beforeAll, vi } from "vitest";
import { launchChromium } from "../chromium.ts";
import { pageAddress } from "./deck-page.ts";

/** A browser, and the address of the deck page, for all tests of one file. */
export function deckBrowser(): { readonly browser: Browser; readonly address: string } {
  // Whole jobs in a real browser: slow on a busy machine.
  vi.setConfig({ testTimeout: 400_000, hookTimeout: 300_000 });
  let opened: readonly [Browser, string];
  beforeAll(async () => {
    opened = await Promise.all([launchChromium(), pageAddress()]);
  });
  afterAll(() => opened[0].close());
  return {
    get browser() {
      return opened[0];
    },
    get address() {
      return opened[1];
    },
  };
}
