import { actions } from "../domain/courses.ts";
import { english } from "../words/english.ts";
import { checkedWalk } from "./check-schema.ts";
import {
  answer,
  atLeast,
  circuit,
  count,
  day,
  estimate,
  laneOrNull,
  list,
  number,
  numberOrNull,
  object,
  oneOf,
  orNull,
  place,
  probability,
  probabilityOrNull,
  rejected,
  type Schema,
  says,
  text,
  textOrNull,
  yesNo,
} from "./schema-parts.ts";

/**
 * The JSON Schemas of what commands print with `--json`, `check` apart. Keys that programs may rely on
 * stand here; an answer may say more.
 */

const head = (name: string) => ({ schema: { const: name }, pool: text });
const walk = says("The walk that the answer rests on.", text);
const dates = object({ median: day, low: day, high: day });

const decide = atLeast({
  ...head("dropwise-decide-2"),
  walk,
  informedBy: says("Earlier walks that it starts from.", list(text)),
  currency: says("ISO 4217; XXX: none.", text),
  assumedLoadOhms: says("Load that costs rest on where nobody knows it [ohm].", numberOrNull),
  decisions: list(
    atLeast({
      ...{ ...place, atFault: probability, action: oneOf(actions), sure: probability },
      presentCost: says("Of the action and of all that follows [currency].", number),
      courses: list(object({ kind: oneOf(actions), presentCost: number, chanceBest: probability })),
      thresholds: atLeast({
        first: oneOf(["clean", "replace"]),
        ...{ cleanUnder: numberOrNull, replaceUnder: numberOrNull, replaceAfter: numberOrNull },
      }),
      words: text,
    }),
  ),
  readAgain: list(
    atLeast({ ...place, atFault: probability, action: text, date: day, words: text }),
  ),
  rejected,
});

const trend = atLeast({
  ...head("dropwise-trend-2"),
  walk,
  assumedLoadOhms: says("Load that ohms and dates rest on, where unknown [ohm].", numberOrNull),
  rhythmDays: says("Usual days between walks.", number),
  walks: list(object({ walk: text, date: day })),
  undated: list(text),
  circuits: list(
    atLeast({
      ...circuit,
      growing: says("P(the path crosses its limit within 104 weeks).", probability),
      notBefore: day,
      crossing: says("10, 50 and 90 %; null: no fall was seen.", orNull(dates)),
    }),
  ),
  contacts: list(atLeast({ ...circuit, point: text, growthPerWeek: estimate })),
  steps: says(
    "Steps that many contacts may have taken between two walks, and the chance of each.",
    list(object({ after: day, until: day, chance: probability })),
  ),
  rejected,
});

const memo = atLeast({
  ...head("dropwise-memo-2"),
  walk,
  base: { const: "decide" },
  currency: text,
  options: list(
    atLeast({
      ...{ id: text, label: text, parts: list(object(place)), request: number },
      ...{ presentCost: number, netSavings: number, chanceSaves: probabilityOrNull },
    }),
  ),
  request: says(
    "What is asked for; null: nothing.",
    orNull(object({ id: text, parts: list(object(place)), amount: number })),
  ),
  rejected,
});

const ready = atLeast({
  ...head("dropwise-ready-2"),
  walk: textOrNull,
  lanes: list(
    atLeast({
      lane: laneOrNull,
      state: oneOf(["pressed", "reads-sound", "not-ready"]),
      verdict: oneOf(["ready", "watch", "not ready"]),
      lost: yesNo,
    }),
  ),
  rejected,
});

const act = object({
  ...{ ...circuit, point: text, act: oneOf(Object.keys(english.next.acts)) },
  ...{ bits: number, seconds: number, bitsPerSecond: number },
});

const next = object({
  ...head("dropwise-next-2"),
  walk: textOrNull,
  readings: says("What is worth reading, most bits for a second first.", list(act)),
  unplug: says("Devices worth unplugging for a reading that goes into no sheet.", list(act)),
  stop: { enum: ["all-settled", "nothing-worth-taking", null] },
});

const report = atLeast({
  ...head("dropwise-report-2"),
  walk,
  ...{ check: checkedWalk, trend: orNull(trend), decide, rejected },
});

const learn = atLeast({
  ...head("dropwise-learn-1"),
  ...{ walk: text, walks: count, gain: number, numbers: list(atLeast({})) },
  changes: list(atLeast({ connector: text, point: text, now: probability, proposed: probability })),
});

const titled = (name: string, command: string, body: Schema): readonly [string, Schema] => [
  name,
  answer(name, `What dropwise ${command} --json prints`, body),
];

/** By name, as the answer's own `schema` says it. */
export const answerSchemas: ReadonlyMap<string, Schema> = new Map([
  titled("dropwise-decide-2", "decide", decide),
  titled("dropwise-learn-1", "learn", learn),
  titled("dropwise-memo-2", "memo", memo),
  titled("dropwise-next-2", "next", next),
  titled("dropwise-ready-2", "ready", ready),
  titled("dropwise-report-2", "report", report),
  titled("dropwise-trend-2", "trend", trend),
]);
