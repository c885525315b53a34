import type { Facility } from "../domain/facility.ts";
import type { MemoOption } from "../economics/memo-options.ts";
import { cautionsFor } from "./cautions.ts";
import { type Block, column, heading, type Line, paragraph } from "./document.ts";
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

/** What happens when, and who says so. */
export function scheduleBlocks(facility: Facility, requested: MemoOption | null): readonly Block[] {
  const steps =
    facility.schedule.length > 0
      ? facility.schedule
      : ownSteps(requested).map((what, index) => ({
          what,
          when: index === 0 && requested !== null ? facility.decisionNeededBy : null,
        }));
  const rows = steps.map(({ what, when }): Line[] => [[what], [orBlank(when, "date")]]);
  return [
    {
      kind: "table",
      caption: "What happens when",
      columns: [column("Step", 4), column("When", 2)],
      rows,
    },
    paragraph("The cautions of the work stand in the appendix. This memo certifies nothing."),
    {
      kind: "fields",
      rows: [
        ["Approved", [{ blank: "name" }, " ", { blank: "signature" }, " ", { blank: "date" }]],
      ],
    },
  ];
}

/** The cautions of the work that the memo is about. */
export function cautionBlocks(work: MemoOption): readonly Block[] {
  const steps =
    work.replaced.length > 0 ? (["replace", "measure"] as const) : (["clean", "measure"] as const);
  return [
    heading(3, "Cautions of the work"),
    { kind: "caution", items: cautionsFor(...steps).map((one) => one.words) },
  ];
}
