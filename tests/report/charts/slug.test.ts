import { expect, test } from "vitest";
import { slug } from "../../../src/report/charts/slug.ts";

test("names in any script have slugs of their own", () => {
  const names = ["Дорожка 1", "Дорожка 2", "Λάμδα", "赤", "青", "حارة", "🏊", "🏁", "a+", "a", "ä"];
  expect(new Set(names.map(slug)).size).toBe(names.length);
  expect(slug("button-1")).toBe("button-1");
  expect(slug("Lane 3, touchpad")).toBe("lane-3u2c-touchpad");
});

test("what a pool takes for one name has one slug, and it can stand in a file name", () => {
  expect(slug("Button 1")).toBe(slug("button_1"));
  for (const name of ["../x", "a/b", "nul\0", "con:", "a\\b", "", "."])
    expect(slug(name)).toMatch(/^[\p{L}\p{M}\p{N}-]+$/u);
});
