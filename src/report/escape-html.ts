const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** Text that may stand between tags and inside quoted attributes. */
export const escapeHtml = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => entities[character] ?? character);

/** JSON that may stand inside a script element: no sequence can close it or open a comment. */
export const escapeJson = (json: string): string =>
  json.replaceAll("<", "\\u003c").replaceAll("\u2028", "\\u2028").replaceAll("\u2029", "\\u2029");
