/** Bytes from letters as the page's build writes them: 85 digits first, then five to four bytes. */
function unpacked(text: string): Uint8Array<ArrayBuffer> {
  const digits = new Map(Array.from(text.slice(0, 85), (letter, value) => [letter, value]));
  const groups = Math.ceil((text.length - 85) / 5);
  const view = new DataView(new ArrayBuffer(4 * groups));
  for (let group = 0; group < groups; group += 1) {
    const start = 85 + 5 * group;
    let value = 0;
    // A last group that is short is filled up with the highest digit; its spare bytes are cut off.
    for (let at = start; at < start + 5; at += 1)
      value = value * 85 + (digits.get(text.charAt(at)) ?? 84);
    view.setUint32(4 * group, value);
  }
  const spare = 5 * groups - (text.length - 85);
  return new Uint8Array(view.buffer, 0, 4 * groups - spare);
}

const opened = new Map<string, Promise<string>>();

/** A script that the page carries packed: it is unpacked when it is first asked for. */
export function packedScript(name: "chart" | "compute"): Promise<string> {
  const known = opened.get(name) ?? unpackedText(`${name}-script`);
  opened.set(name, known);
  return known;
}

async function unpackedText(id: string): Promise<string> {
  const bytes = unpacked(document.getElementById(id)?.textContent ?? "");
  const text = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(text).text();
}
