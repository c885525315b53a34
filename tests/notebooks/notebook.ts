import { readFileSync } from "node:fs";
import { dirname } from "node:path";
import { isEmpty, Kernel, type Output } from "./kernel.ts";

/** One cell as the notebook format (nbformat 4.5) keeps it. */
export interface Cell {
  readonly cell_type: "code" | "markdown";
  readonly id: string;
  readonly metadata: object;
  readonly source: string | readonly string[];
  execution_count?: number | null;
  outputs?: readonly Output[];
}

export interface Notebook {
  readonly cells: readonly Cell[];
  readonly metadata: object;
  readonly nbformat: number;
  readonly nbformat_minor: number;
}

export const readNotebook = (path: string): Notebook => JSON.parse(readFileSync(path, "utf8"));

export const codeOf = (cell: Cell): string => [cell.source].flat().join("");

/** A cell's printed text as one output in front: it arrives beside displays in no fixed order. */
function joined(outputs: readonly Output[]): Output[] {
  const streams = outputs.filter((one) => one.output_type === "stream");
  const others = outputs.filter((one) => one.output_type !== "stream");
  const names = [...new Set(streams.map((one) => one["name"]))];
  const whole = names.map((name): Output => {
    const own = streams.filter((one) => one["name"] === name);
    return { output_type: "stream", name, text: own.map((one) => one["text"]).join("") };
  });
  return [...whole, ...others];
}

/** Without what changes from run to run: the kernel's counters and transient ids. */
function settled(one: Output): Output {
  const { transient: _, execution_count: __, ...kept } = one;
  if (one.output_type === "execute_result")
    return { output_type: "display_data", data: kept["data"], metadata: kept["metadata"] ?? {} };
  return kept.output_type === "display_data" ? { ...kept, metadata: kept["metadata"] ?? {} } : kept;
}

/** Runs every cell of a notebook in a fresh kernel and returns it with the outputs. */
export async function execute(path: string): Promise<Notebook> {
  const notebook = readNotebook(path);
  const kernel = await Kernel.start(dirname(path));
  try {
    let count = 0;
    const cells: Cell[] = [];
    for (const cell of notebook.cells) {
      if (cell.cell_type !== "code") {
        cells.push(cell);
        continue;
      }
      count += 1;
      const outputs = joined(await kernel.run(codeOf(cell))).map(settled);
      cells.push({
        ...cell,
        execution_count: count,
        outputs: outputs.filter((one) => !isEmpty(one)),
      });
    }
    return { ...notebook, cells };
  } finally {
    kernel.close();
  }
}

/** What a reader reads of a cell's outputs: streams, plain texts, errors. No pictures. */
export function textsOf(cell: Cell): string[] {
  return (cell.outputs ?? []).map((one) => {
    if (one.output_type === "stream") return [one["text"]].flat().join("");
    if (one.output_type === "error") return `${one["ename"]}: ${one["evalue"]}`;
    const data = one["data"] as Readonly<Record<string, string | readonly string[]>>;
    return [data["text/markdown"] ?? data["text/plain"] ?? ""].flat().join("");
  });
}
