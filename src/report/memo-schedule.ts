import type { Facility } from "../domain/facility.ts";
import type { MemoOption } from "../economics/memo-options.ts";
import { cautionsFor } from "./cautions.ts";
import { type Block, column, type Line } from "./document.ts";
import { orBlank } from "./memo-input.ts";

/** The steps that follow from the request, in their order; their dates are the facility's to say. */
function ownSteps(requested: MemoOption | null): readonly string[] {
  if (requested === null) return ["The plan's work", "Next walk of readings"];
  return [
    "Decision",
    "Parts ordered",
    "Connectors replaced, supply off",
    "Walk of readings that shows the paths over the limit",
  ];
}

/** What happens when, with the cautions of the work beside it. */
export function scheduleBlocks(
  facility: Facility,
  requested: MemoOption | null,
  plan: MemoOption,
): readonly Block[] {
  const steps =
    facility.schedule.length > 0
      ? facility.schedule
      : ownSteps(requested).map((what, index) => ({
          what,
          when: index === 0 && requested !== null ? facility.decisionNeededBy : null,
        }));
  const rows = steps.map(({ what, when }): Line[] => [[what], [orBlank(when, "date")]]);
  const work =
    (requested ?? plan).replaced.length > 0
      ? (["replace", "measure"] as const)
      : (["clean", "measure"] as const);
  return [
    {
      kind: "table",
      caption: "What happens when",
      columns: [column("Step", 4), column("When", 2)],
      rows,
    },
    { kind: "caution", items: cautionsFor(...work).map((one) => one.words) },
  ];
}
