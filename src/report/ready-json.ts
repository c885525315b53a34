import type { Reject } from "../domain/reading.ts";
import type { LaneReady } from "../meet/lane-ready.ts";
import type { MeetReady } from "../meet/ready.ts";

/** JSON has no infinity. */
const noInfinity = (_: string, value: unknown): unknown =>
  typeof value === "number" && !Number.isFinite(value) ? null : value;

/** How far a lane is: pressed and proven, read sound, or not ready. */
const stateOf = ({ verdict, primary }: LaneReady): "pressed" | "reads-sound" | "not-ready" => {
  if (verdict !== "ready") return "not-ready";
  return primary.proof?.state === "proven" ? "pressed" : "reads-sound";
};

/** What `ready --json` prints. */
export function readyJson({ lanes, ...ready }: MeetReady, rejected: readonly Reject[]): string {
  const answer = {
    schema: "dropwise-ready-2",
    ...ready,
    lanes: lanes.map((lane) => ({ ...lane, device: lane.primary.device, state: stateOf(lane) })),
    rejected,
  };
  return `${JSON.stringify(answer, noInfinity, 2)}\n`;
}
