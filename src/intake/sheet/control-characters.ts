/**
 * Control characters (Unicode category Cc) other than tab and line breaks: none of them belongs in a
 * sheet, XML 1.0 forbids most of them, and a terminal may obey them.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const control = /[\0-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]/;

/** Does a text hold any? Fast enough for whole pages of a file. */
export const hasControl = (text: string): boolean => control.test(text);

/** The first one as people look it up, `U+000B`; null where there is none. */
export function controlName(text: string): string | null {
  const found = control.exec(text);
  if (found === null) return null;
  return `U+${found[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}`;
}
