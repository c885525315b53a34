import { type Broken, repeats } from "./broken-rule.ts";
import { circuitRules } from "./circuit-rules.ts";
import { costsRules } from "./costs-schema.ts";
import { lanesOf } from "./lanes-schema.ts";
import type { PoolFile } from "./pool-schema.ts";

const named = (of: readonly { readonly name: string }[]): readonly string[] =>
  of.map(({ name }) => name);

/** The first version's keys beside those that took their place: only one of the two may stand. */
function oldKeyRules(file: PoolFile, raw: unknown): readonly Broken[] {
  const given = new Set(typeof raw === "object" && raw !== null ? Object.keys(raw) : []);
  const both = (old: string, now: string): readonly Broken[] =>
    given.has(old) && given.has(now)
      ? [{ place: old, message: `found both ${old} and ${now}; allowed: one of the two` }]
      : [];
  const twice = typeof file.model === "object" && given.has("misread");
  const model = (raw as { model?: unknown })?.model;
  const inModel = typeof model === "object" && model !== null && "misread" in model;
  return [
    ...both("supply", "supplies"),
    ...both("limit_volts", "limit"),
    ...(twice && inModel
      ? [{ place: "misread", message: "found here and in model; allowed: one of the two" }]
      : []),
  ];
}

function limitRules({ limit, limit_volts: old, meters, ...file }: PoolFile): readonly Broken[] {
  const broken: Broken[] = [];
  const emf = Math.min(...(file.supplies ?? [file.supply]).map((one) => one.emf));
  const volts = old ?? limit.volts;
  const place = old === undefined ? "limit.volts" : "limit_volts";
  if (volts !== undefined && volts > emf) {
    broken.push({ place, message: `found ${volts}; allowed: at most the emf, which is ${emf}` });
  }
  if (limit.ohms !== undefined && (limit.volts !== undefined || limit.meter !== undefined)) {
    broken.push({
      place: "limit",
      message: "found ohms beside volts or meter; allowed: ohms alone",
    });
  }
  if (limit.meter !== undefined && !named(meters).includes(limit.meter)) {
    const message = `'${limit.meter}' is none of the meters; allowed: ${named(meters).join(", ")}`;
    broken.push({ place: "limit.meter", message });
  }
  const input = file.timer_input;
  if (input !== undefined && !(input.low_max < input.high_min && input.high_min < emf)) {
    const message =
      `found low_max ${input.low_max} and high_min ${input.high_min}; ` +
      `allowed: low_max < high_min < the emf, which is ${emf}`;
    broken.push({ place: "timer_input", message });
  }
  return broken;
}

function contactRules({ contact }: PoolFile): readonly Broken[] {
  const { sound, fouled } = contact;
  const parts = Array.isArray(fouled) ? fouled : [{ ...fouled, share: 1 }];
  const at = (i: number): string =>
    `contact.fouled${Array.isArray(fouled) ? `[${i}]` : ""}.median_ohms`;
  const broken = parts.flatMap(({ median_ohms: median }, i): Broken[] =>
    median > sound.median_ohms
      ? []
      : [
          {
            place: at(i),
            message:
              `found ${median}; allowed: more ohms than ` +
              `contact.sound.median_ohms, which is ${sound.median_ohms}`,
          },
        ],
  );
  const sum = parts.reduce((total, { share }) => total + share, 0);
  if (Math.abs(sum - 1) > 1e-6) {
    const message = `found shares that add to ${Number(sum.toFixed(6))}; allowed: 1`;
    broken.push({ place: "contact.fouled", message });
  }
  return broken;
}

function meterRules({ meters }: PoolFile): readonly Broken[] {
  return meters.flatMap(({ off_after: window }, i) => {
    if (window === undefined || window[0] <= window[1]) return [];
    const message = `found [${window.join(", ")}]; allowed: the earlier number of seconds first`;
    return [{ place: `meters[${i}].off_after`, message }];
  });
}

/** Every rule of the pool file that no single key's schema can hold; `raw` is the file as written. */
export function poolRules(file: PoolFile, raw: unknown): readonly Broken[] {
  return [
    ...repeats(named(file.meters), "meters", ".name"),
    ...repeats(named(file.supplies ?? []), "supplies", ".name"),
    ...repeats(file.ends, "ends", ""),
    ...oldKeyRules(file, raw),
    ...limitRules(file),
    ...contactRules(file),
    ...meterRules(file),
    ...circuitRules(file),
    ...costsRules(
      file.costs,
      file.chain.map((link) => link.point),
      lanesOf(file.lanes).length,
    ),
  ];
}
