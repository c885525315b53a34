import type { MeetSettings } from "../domain/meet.ts";
import type { DeviceState } from "../meet/device-state.ts";
import type { Presses } from "../meet/presses.ts";
import { englishSince } from "../words/english-ready.ts";
import { sentence } from "../words/figure-words.ts";
import { takeCare } from "./cautions.ts";
import { circuitText, counted, percentText as percent } from "./names.ts";
import { textOf } from "./wrap-text.ts";

/** Touch checks in words: one paragraph a device, the worst first. */
export function touchesText(
  pool: string,
  devices: readonly DeviceState[],
  { touch }: MeetSettings,
  pathsKnown: boolean,
): string {
  const order = { "at fault": 0, "in doubt": 1, proven: 2 };
  const worstFirst = [...devices].sort((a, b) => order[a.state] - order[b.state]);
  const lines = [
    `${pool}: touch checks of ${counted(devices.length, "device")}`,
    `Proven means: missed touches at most ${percent(touch.toleratedMissed)}, with ` +
      `${percent(touch.confidence)} probability. A fingertip should register, a medium push with ` +
      "the open hand should not (common practice).",
    ...(pathsKnown
      ? []
      : ["No readings were given: each path counts as good as the pool file's prior says."]),
    "",
    ...worstFirst.flatMap((device) =>
      deviceWords(device).map((line, i) => (i === 0 ? line : `  ${line}`)),
    ),
  ];
  if (devices.some((device) => device.state === "at fault")) lines.push("", takeCare("lift-pads"));
  return textOf(lines);
}

function deviceWords(device: DeviceState): string[] {
  const { missed, falseTouches, proof, reasons } = device;
  const pressing = reasons.some((reason) => reason.kind === "pad at fault")
    ? "AT FAULT"
    : reasons.some((reason) => reason.kind === "false touches")
      ? "FALSE TOUCHES"
      : (proof?.state ?? "not pressed with a fingertip");
  return [
    `${sentence(circuitText(device))}: ${pressing}`,
    ...(missed === null ? [] : [missedWords(missed)]),
    ...(missed === null || missed.events === 0 ? [] : [blameWords(missed)]),
    ...(falseTouches === null ? [] : [falseWords(falseTouches)]),
    ...(proof === null ? [] : [proofWords(device)]),
  ];
}

const span = ({ rate }: Presses): string =>
  `${percent(rate.median)} (${percent(rate.mass)} interval ${percent(rate.equalTailed[0])} to ` +
  `${percent(rate.equalTailed[1])})`;

const missedWords = (missed: Presses): string =>
  `${missed.events} of ${missed.tried} fingertip presses missed${englishSince(missed.since)}: misses ${span(missed)}`;

const falseWords = (pushes: Presses): string =>
  `${pushes.events} of ${pushes.tried} open-hand pushes registered: false touches ${span(pushes)}` +
  (pushes.blame.pointsTo === "neither"
    ? ""
    : pushes.blame.pointsTo === "pad"
      ? "; points to the pad: too soft, or its surface"
      : "; points to a leak across the path");

/** Whose fault, and the first thing to do; the shares add up to the whole. */
export function blameWords({ blame }: Pick<Presses, "blame">): string {
  const chances =
    `pad or plug ${percent(blame.pad)}, path ${percent(blame.path)}, both ${percent(blame.both)}, ` +
    `chance alone ${percent(blame.neither)}`;
  if (blame.pointsTo === "neither") return `Misses by chance are likeliest (${chances})`;
  if (blame.deadPlace !== null)
    return (
      `Dead at one place, ${blame.deadPlace.place}: that is the pad itself, not its path ` +
      `(${percent(blame.deadPlace.probability)}; ${chances})`
    );
  return blame.pointsTo === "pad"
    ? `The misses point to the pad or its plug: ${swapWords} (${chances})`
    : `The misses point to the path: clean it before you touch the pad (${chances})`;
}

/** What is done before anybody lifts a pad. */
export const swapWords =
  "change its plug to the neighbour's lane first, and lift the pad only if the misses go along";

/** How many more presses, and how likely they go well. */
function proofWords({ proof }: DeviceState): string {
  if (proof === null) return "";
  if (proof.state === "proven") return `Proven (${percent(proof.probability)})`;
  if (proof.state === "not good enough")
    return `Misses too much with ${percent(1 - proof.probability)} probability: no more presses, mend it`;
  if (proof.pressesIfAllRegister === null)
    return `Not provable within ${proof.pressLimit} more presses`;
  const median =
    proof.medianPresses === null
      ? "with misses allowed it is more likely never proven than proven"
      : `with misses allowed, proven as likely as not within ${proof.medianPresses}`;
  return (
    `${proof.pressesIfAllRegister} more presses prove it if all register ` +
    `(chance ${percent(proof.chanceAllRegister ?? 0)}); ${median}`
  );
}
