import { expect, test } from "vitest";
import { unknownFacility } from "../../src/domain/facility.ts";
import { readFacility } from "../../src/intake/read-facility.ts";

test("a whole file is read, key by key", () => {
  const text = `
facility: Kestrel Bay Leisure Centre
letterhead: [Kestrel Bay Leisure Centre, 1 Pool Road]
to: The Board
from: Pool maintenance
date: 2026-05-04
currency: EUR
schedule: [{ what: Order, when: week 20 }, { what: Fit }]
risks: [The supplier has a long lead time]
paper: Letter
`;
  const read = readFacility(text, "facility.yaml");
  expect(read).toEqual({
    ok: true,
    value: {
      ...unknownFacility,
      name: "Kestrel Bay Leisure Centre",
      letterhead: ["Kestrel Bay Leisure Centre", "1 Pool Road"],
      to: "The Board",
      from: "Pool maintenance",
      date: "2026-05-04",
      currency: "EUR",
      schedule: [
        { what: "Order", when: "week 20" },
        { what: "Fit", when: null },
      ],
      risks: ["The supplier has a long lead time"],
      paper: "Letter",
    },
  });
});

test("what is left out stays unknown, nothing is made up", () => {
  const read = readFacility("to: The Board\n", "facility.yaml");
  expect(read).toEqual({ ok: true, value: { ...unknownFacility, to: "The Board" } });
  expect(unknownFacility.from).toBeNull();
  expect(unknownFacility.date).toBeNull();
});

test.each([
  ["too: x\n", "", "unknown key 'too'"],
  [
    "currency: euro\n",
    "currency",
    "found 'euro'; allowed: a currency code of three capital letters",
  ],
  ["paper: A5\n", "paper", "allowed: A4 or Letter"],
  ["letterhead: {}\n", "letterhead", "allowed: a list of at most 8 lines"],
  ["schedule: [{ when: soon }]\n", "schedule[0].what", "is missing"],
  ["", "", "is empty; a facility file has at least one key"],
  ["to: [unclosed\n", "line 2, column 1", "is not YAML"],
  // Found by seeds: a library warned on standard error, and the key was the list's own text.
  ["to: a\n? [touchpad]\n: b\n", "line 2, column 3", "has a list, a mapping or bytes where a key"],
  ["to: &a {}\n*a : b\n", "line 2, column 1", "has a list, a mapping or bytes where a key stands"],
  ["to: a\n!!binary : b\n", "line 2, column 10", "has a list, a mapping or bytes where a key"],
])("%j is one fault that says where and what", (text, place, words) => {
  const read = readFacility(text, "facility.yaml");
  expect(read.ok).toBe(false);
  if (read.ok) return;
  expect(read.error).toHaveLength(1);
  expect(read.error[0]?.place).toBe(place);
  expect(read.error[0]?.message).toContain(words);
  expect(read.error[0]?.file).toBe("facility.yaml");
});
