/** Letters and digits of any script, with the marks that belong to them. */
const letter = /^[\p{L}\p{M}\p{N}]$/u;

/**
 * A text that may stand in a file name or an id: small letters and digits of any script, and dashes.
 *
 * Two texts have one slug only where a pool takes them for one name (`plainName`: case, blanks,
 * hyphens and underscores don't tell names apart): every other character that is no letter stands as
 * its code point, so that names of emoji or signs don't fall together.
 */
export const slug = (text: string): string =>
  [...text.normalize("NFKC").trim().toLowerCase()]
    .map((one) => {
      if (letter.test(one)) return one;
      return /[\s_-]/.test(one) ? "-" : `u${one.codePointAt(0)!.toString(16)}`;
    })
    .join("")
    .replaceAll(/-+/g, "-") || "x";
