/**
 * Elements without a framework. Every text goes in as a text node, so a lane's name may hold any
 * character; nothing here ever parses HTML.
 */

export type Child = Node | string | null | undefined | false;

/** Attributes by name; `on` holds listeners. Null, undefined and false leave an attribute out. */
export interface Attributes {
  readonly on?: Readonly<Record<string, (event: never) => void>>;
  readonly [name: string]: unknown;
}

function fill(node: Element, attributes: Attributes, children: readonly Child[]): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "on") {
      for (const [type, listener] of Object.entries(value as NonNullable<Attributes["on"]>))
        node.addEventListener(type, listener as EventListener);
    } else if (value !== null && value !== undefined && value !== false)
      node.setAttribute(name, value === true ? "" : String(value));
  }
  put(node, ...children);
}

/** An HTML element with its attributes and children. */
export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const node = document.createElement(tag);
  fill(node, attributes, children);
  return node;
}

/** An SVG element. */
export function s(
  tag: string,
  attributes: Attributes = {},
  ...children: readonly Child[]
): SVGElement {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  fill(node, attributes, children);
  return node;
}

/** Adds children at the end. */
export function put(node: Element, ...children: readonly Child[]): void {
  for (const child of children)
    if (child !== null && child !== undefined && child !== false) node.append(child);
}

/** Puts these children in place of all that was there. */
export function refill(node: Element, ...children: readonly Child[]): void {
  node.replaceChildren();
  put(node, ...children);
}

/**
 * A button: the only thing on the page that is pressed. What it began is done before a press begins
 * anything again: a finger that bounces does not write the same line twice.
 */
export function button(
  label: string,
  press: () => unknown,
  attributes: Attributes = {},
): HTMLButtonElement {
  let busy = false;
  const click = async (): Promise<void> => {
    if (busy) return;
    busy = true;
    try {
      await press();
    } finally {
      busy = false;
    }
  };
  return h("button", { type: "button", ...attributes, on: { click } }, label);
}
