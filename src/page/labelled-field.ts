import { h } from "./element.ts";

export interface LabelledField {
  readonly node: HTMLElement;
  readonly input: HTMLInputElement;
}

/** A line to write in, its label around it. */
export function field(label: string, attributes: Readonly<Record<string, string>>): LabelledField {
  const input = h("input", { type: "text", autocomplete: "off", ...attributes });
  return { node: h("label", {}, label, input), input };
}

export const text = ({ input }: LabelledField): string => input.value.trim();
