import { NO_CURRENCY } from "../domain/costs.ts";
import type { Action } from "../domain/courses.ts";
import type { Decision } from "../domain/decision.ts";
import type { WorkAction } from "../domain/work.ts";
import type { DecideWords } from "./decide-words.ts";
import { sentence } from "./figure-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";

/** Price of a step in brackets with its minutes: `(12 min, EUR 8)`, `(12 min, Kosten 8)`. */
function priceText(minutes: number, cost: number, currency: string): string {
  const price = `${currency === NO_CURRENCY ? "Kosten " : ""}${figures.money(cost, currency)}`;
  return `(${Math.round(minutes)} min, ${price})`;
}

type Held = Decision["weeksHeld"][number];

const heldWeeks = ({ weeks, atLeast }: Held): string =>
  `${atLeast ? "mindestens " : ""}${figures.weeks(weeks)}`;

/** `2 und 3 Wochen`, or both in full where one word would not do for both. */
function heldBoth(one: Held, other: Held): string {
  const [first, second] = [heldWeeks(one), heldWeeks(other)];
  if (first === second) return `je ${first}`;
  const alike = one.atLeast === other.atLeast && Math.round(other.weeks) !== 1;
  return `${alike ? first.replace(/ Wochen?$/, "") : first} und ${second}`;
}

/** `, und die letzten beiden hielten 2 und 3 Wochen`; empty where no cleaning tells. */
function heldText(held: readonly Held[]): string {
  const telling = held.filter(({ weeks, atLeast }) => !atLeast || Math.round(weeks) > 0);
  const [one, other] = telling.slice(-2);
  if (one === undefined) return "";
  const which = other === undefined ? "die letzte hielt" : "die letzten beiden hielten";
  if ([one, other ?? one].every(({ weeks }) => Math.round(weeks) === 0))
    return `, und ${which} gar nicht`;
  return `, und ${which} ${other === undefined ? heldWeeks(one) : heldBoth(one, other)}`;
}

/** `, und 3 der 4 verzeichneten hielten gar nicht`; how the last ones held where all did. */
function failedText(held: readonly Held[]): string {
  const failed = held.filter(({ weeks, atLeast }) => Math.round(weeks) === 0 && !atLeast).length;
  if (failed === 0) return heldText(held);
  return `, und ${failed} der ${held.length} verzeichneten ${failed === 1 ? "hielt" : "hielten"} gar nicht`;
}

const aBreak =
  "Es fließt kein Strom: eine lose Ader, ein verbogener oder fehlender Stift, ein Stecker, der nicht " +
  "sitzt. Reinigen hilft gegen nichts davon.";

const courses: Readonly<Record<Action, string>> = {
  look: "Unterbrechung suchen",
  wait: "auf den nächsten Rundgang warten",
  "read-again": "nachmessen",
  clean: "reinigen und messen",
  replace: "ersetzen",
};

function actText(action: Action, decision: Decision, currency: string): string {
  const name = places.connector(decision.place);
  const { lookMinutes, cleanMinutes, replaceMinutes, film, weeksHeld } = decision;
  switch (action) {
    case "look": {
      const looking = priceText(lookMinutes, decision.lookCost, currency);
      const then = actText(decision.ifNoBreak ?? "wait", decision, currency);
      return (
        `Vor allem anderen jetzt die Unterbrechung suchen ${looking}, fest zusammenstecken und messen: ` +
        `${name}. ${aBreak} Wenn das nichts behebt: ${then}`
      );
    }
    case "wait":
      return `Bis zum nächsten Rundgang lassen: ${name}. Arbeit daran kostet jetzt mehr, als sie bis dahin spart.`;
    case "read-again":
      return `Vor allem anderen nachmessen: ${name}. Eine weitere Messung kann ändern, was am besten ist.`;
    case "clean":
      return `Jetzt reinigen ${priceText(cleanMinutes, decision.cleanCost, currency)} und messen: ${name}.`;
    case "replace":
      return (
        `Jetzt ersetzen ${priceText(replaceMinutes, decision.replaceCost, currency)}: ${name}. Eine ` +
        `Reinigung hilft mit einer Wahrscheinlichkeit von ${figures.percent(film)}${failedText(weeksHeld)}.`
      );
  }
}

const ordinals = ["ersten", "zweiten", "dritten"] as const;

function ruleText({ thresholds, lastPoint }: Decision): string {
  const { first, cleanUnder, replaceUnder, replaceAfter } = thresholds;
  if (cleanUnder === null) return "Kein Messwert macht Arbeit daran ihren Preis wert.";
  const under = `wenn ${lastPoint} unter ${figures.volts(cleanUnder)} zeigt`;
  if (first === "replace") return `Die Regel: ersetzen, ${under}.`;
  const clean = `Die Regel: reinigen, ${under}`;
  const after =
    replaceAfter === null ? null : `nach dem ${ordinals[replaceAfter - 1] ?? "dritten"} Fehlschlag`;
  if (replaceUnder === null && after === null)
    return `${clean}; was dann auch gemessen wird, weiter reinigen kostet weniger als ersetzen.`;
  if (replaceUnder === null) return `${clean}; ersetzen ${after}.`;
  const still = `ersetzen, wenn dann noch unter ${figures.volts(replaceUnder)}`;
  return `${clean}; ${still}${after === null || replaceAfter === 1 ? "" : `, oder ${after}`}.`;
}

const workDone: Readonly<Record<WorkAction, string>> = {
  cleaned: "gereinigt",
  replaced: "ersetzt",
  reseated: "neu gesteckt",
};

/** Clean, replace or leave, in German. */
export const germanDecide: DecideWords = {
  head: (pool, walk) => `${pool}, Rundgang ${walk}`,
  nothing: "keine Verbindung ist verdächtig; nichts zu reinigen oder zu ersetzen.",
  unjudged: (doubted, of) =>
    `dieser Rundgang lässt sich nicht beurteilen. ${doubted} seiner ${of} Messwerte sind zweifelhaft, ` +
    "und kein Stromkreis ist in Ordnung oder schwach. Zuerst nachmessen (dropwise check nennt sie).",
  assumedLoad: (ohms) =>
    "Der Eingangswiderstand des Messgeräts ist nicht bekannt: Kosten und Wege sind gerechnet, als wäre " +
    `er ${ohms} Ω. Ihn messen (dropwise meter), bevor Geld ausgegeben wird.`,
  suspect: (place, atFault, film) =>
    `${sentence(places.connector(place))}: schadhaft ${figures.percent(atFault)}, Belag ${figures.percent(film)}`,
  courses,
  act: (decision, currency) => actText(decision.action, decision, currency),
  aBreak,
  rule: ruleText,
  metal:
    "Nach der Reinigung ist der Messwert noch niedrig: das deutet nach gängiger Praxis auf oxidiertes " +
    "Metall, gegen das keine Reinigung hilft.",
  sure: ({ action, ifNoBreak, sure }) =>
    action === "look" && ifNoBreak !== null
      ? `zu ${figures.percent(sure)} ist danach das Günstigste: ${courses[ifNoBreak]}`
      : `zu ${figures.percent(sure)} ist das am günstigsten`,
  nearly: (kinds) =>
    `; fast dasselbe kostet: ${kinds.map((kind) => courses[kind]).join(", oder ")}`,
  howSure: (sure) => `Wie sicher: ${sure}.`,
  heads: (currency) => [
    "  jetzt",
    `Kosten\nheute${currency === NO_CURRENCY ? "" : ` [${currency}]`}`,
    "Chance als\nBestes",
  ],
  workedOnSince: "Seither bearbeitet:",
  readAgain: (place, action, date) =>
    `${sentence(places.connector(place))}: ${workDone[action]} am ${date}, nach dem letzten Rundgang: ` +
    "vor der Entscheidung nachmessen.",
};
