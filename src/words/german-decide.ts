import type { Action } from "../domain/courses.ts";
import { NO_CURRENCY } from "../domain/currency.ts";
import type { Decision } from "../domain/decision.ts";
import type { WorkAction } from "../domain/work.ts";
import { type DecideWords, type Held, heldTold, priceTold, ruleTold } from "./decide-words.ts";
import { sentence } from "./figure-words.ts";
import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";

const priceText = (minutes: number, cost: number, currency: string): string =>
  priceTold(minutes, cost, currency, "Kosten", figures);

const heldWeeks = ({ weeks, atLeast }: Held): string =>
  `${atLeast ? "mindestens " : ""}${figures.weeks(weeks)}`;

/** `, und die letzten beiden hielten 2 und 3 Wochen`; empty where no cleaning tells. */
function heldText(held: readonly Held[]): string {
  const told = heldTold(held);
  switch (told.kind) {
    case "nothing":
      return "";
    case "failed":
      return `, und ${told.failed} der ${told.of} verzeichneten ${told.failed === 1 ? "hielt" : "hielten"} gar nicht`;
    case "none-held":
      return `, und ${told.last === 1 ? "die letzte hielt" : "die letzten beiden hielten"} gar nicht`;
    case "one":
      return `, und die letzte hielt ${heldWeeks(told.held)}`;
    case "two": {
      const [first, second] = [heldWeeks(told.held[0]), heldWeeks(told.held[1])];
      const short = told.alike ? first.replace(/ Wochen?$/, "") : first;
      return `, und die letzten beiden hielten ${first === second ? `je ${first}` : `${short} und ${second}`}`;
    }
  }
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
        `Reinigung hilft mit einer Wahrscheinlichkeit von ${figures.percent(film)}${heldText(weeksHeld)}.`
      );
  }
}

const ordinals = ["ersten", "zweiten", "dritten"] as const;

function ruleText(decision: Decision): string {
  const rule = ruleTold(decision);
  if (rule.kind === "never") return "Kein Messwert macht Arbeit daran ihren Preis wert.";
  const under = `wenn ${decision.lastPoint} unter ${figures.volts(rule.under)} zeigt`;
  if (rule.kind === "replace") return `Die Regel: ersetzen, ${under}.`;
  const { stillUnder } = rule;
  const after =
    rule.after === null ? null : `nach dem ${ordinals[rule.after - 1] ?? "dritten"} Fehlschlag`;
  const clean = `Die Regel: reinigen, ${under}`;
  if (stillUnder === null)
    return after === null
      ? `${clean}; was dann auch gemessen wird, weiter reinigen kostet weniger als ersetzen.`
      : `${clean}; ersetzen ${after}.`;
  const still = `ersetzen, wenn dann noch unter ${figures.volts(stillUnder)}`;
  return `${clean}; ${still}${after === null ? "" : `, oder ${after}`}.`;
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
    `${sentence(places.connector(place))}: schadhaft ${figures.percent(atFault)}${film === null ? "" : `, Belag ${figures.percent(film)}`}`,
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
