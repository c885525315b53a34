import type { InputFault } from "../../domain/result.ts";

/** A rule that spans several keys, broken: where, and what to do. */
export type Broken = Omit<InputFault, "file">;

/** Entries that repeat an earlier one, case and blanks aside. */
export function repeats(
  names: readonly (string | number)[],
  place: string,
  key: string,
): readonly Broken[] {
  const plain = names.map((name) =>
    String(name)
      .toLowerCase()
      .replaceAll(/[\s_-]+/g, "-"),
  );
  return names.flatMap((name, i) =>
    plain.indexOf(plain[i]!) === i
      ? []
      : [{ place: `${place}[${i}]${key}`, message: `'${name}' occurs twice; each only once` }],
  );
}
