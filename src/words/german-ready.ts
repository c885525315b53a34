import { germanFigures as figures } from "./german-figures.ts";
import { germanPlaces as places } from "./german-places.ts";
import { inLine } from "./place-words.ts";
import type { MissesSince, ReadyWords } from "./ready-words.ts";

const { percent } = figures;

const minutesText = (minutes: number): string =>
  minutes < 10 ? `${figures.decimal(minutes, 1)} min` : `${Math.round(minutes)} min`;

/** ` seit 2026-06-13, Lauf 4`. */
function sinceText(since: MissesSince | null): string {
  if (since === null) return "";
  const heat = since.heat === null ? null : `Lauf ${since.heat.replace(/^(heat|lauf)\s+/i, "")}`;
  const words = [since.day, heat].filter((one) => one !== null).join(", ");
  return words === "" ? " seit der letzten Prüfung" : ` seit ${words}`;
}

const on = (day: string | null): string => (day === null ? "" : ` am ${day}`);

function ageText(days: number | null): string {
  if (days === null) return ", sein Tag ist nicht bekannt";
  if (days === 0) return ", am Tag des Wettkampfs";
  return days === 1 ? ", am Tag davor" : `, ${days} Tage davor`;
}

/** What the bag holds, by the names that the plan gives it; a spare is named by its connector. */
const things: Readonly<Record<string, string>> = {
  "spare: pad plug": "Ersatz: Mattenstecker",
  "wire, stripped to fit": "Draht, passend abisoliert",
  "alcohol wipe": "Alkoholtuch",
  "hook-and-loop tie": "Klettband",
  "contact brush": "Kontaktbürste",
  "sealant, one tube": "Dichtmittel, eine Tube",
  "wire stripper and screwdriver": "Abisolierzange und Schraubendreher",
};

const thing = (item: string): string => things[item] ?? item.replace(/^spare: /, "Ersatz: ");

const many = (count: number, one: string, more: string): string =>
  `${count} ${count === 1 ? one : more}`;

/** The morning of a meet in German. */
export const germanReady: ReadyWords = {
  head: (pool, date, counts) => `${pool}, Wettkampf am ${date}: ${counts}`,
  counts: {
    ready: (count) => `${count} bereit`,
    "reads-sound": (count) => `${count} in Ordnung gemessen, nicht gedrückt`,
    watch: (count) => `${count} zu beobachten`,
    "not-ready": (count) => `${count} nicht bereit`,
  },
  noWalk: "Kein Rundgang wurde gemessen: nichts ist bekannt.",
  newest: (walk, days) => `Letzter Rundgang: ${walk}${ageText(days)}.`,
  noTouches:
    "Anschlagproben gibt es keine: was in Ordnung gemessen ist, kann trotzdem einen Anschlag verpassen.",
  pads: {
    title: (verdict) => `Matten: ${verdict}`,
    noLog: "keine Wassertemperatur ist vermerkt, daher lässt sich über die Matten nichts sagen.",
    neverAdjusted: "kein Einstellen nach vollem Einweichen ist vermerkt: die Matten einstellen.",
    unknownDegrees: (change) =>
      `seit dem Einstellen der Matten hat sich das Wasser um ${change} geändert; welche Änderung ` +
      "zählt, steht nicht in der Beckendatei (meet: readjust_degrees, wie der Hersteller der Matten sagt).",
    due: (change, at) =>
      `die Matten sind FÄLLIG: seit dem Einstellen hat sich das Wasser um ${change} geändert (fällig ab ${at}).`,
    fine: (change, at) =>
      `die Matten sind gut: seit dem Einstellen hat sich das Wasser um ${change} geändert${at === null ? "" : ` (fällig ab ${at})`}.`,
  },
  padsDue: "die Matten müssen neu eingestellt werden",
  marks: {
    ready: "bereit",
    "reads-sound": "in Ordnung gemessen",
    watch: "BEOBACHTEN",
    "not-ready": "NICHT BEREIT",
  },
  fallBack: (words) => `Ausweichen: ${words}`,
  read: (day) => `gemessen${on(day)}`,
  pressed: (readOn, pressedOn, by) =>
    `in Ordnung gemessen${on(readOn)}, gedrückt${on(pressedOn)}${by.length === 0 ? "" : ` von ${by.join(", ")}`}`,
  noBackup: "die Bahn hat kein Ersatzgerät",
  noneToRelyOn: "keines, auf das Verlass ist",
  backupsReady: (devices, words) => `${devices.join(", ")} bereit (${words})`,
  backupsUnpressed: (devices) => `${devices.join(", ")} in Ordnung gemessen, nicht gedrückt`,
  inDoubt: "zweifelhaft",
  reasons: {
    "path at fault": ({ probability, point }) =>
      `Pfad schadhaft (${percent(probability)}), am ehesten bei ${point}`,
    "path in doubt": ({ probability, point }) =>
      `Pfad zweifelhaft (zu ${percent(probability)} schadhaft), bei ${point}`,
    stuck: ({ probability }) => `der Schalter hängt wohl geschlossen (${percent(probability)})`,
    leaking: ({ probability }) =>
      `Gerät oder Anschluss ist wohl nass oder undicht (${percent(probability)})`,
    "pad at fault": ({ events, tried, since, device, deadPlace, probability }) =>
      `${events} von ${tried} Fingerdrücken verpasst${sinceText(since)}: ` +
      `${deadPlace === null ? `${device} oder der Stecker schadhaft` : `${device} an einer Stelle tot, ${deadPlace}`} ` +
      `(${percent(probability)})`,
    "false touches": ({ events, tried, probability }) =>
      `${events} von ${tried} Stößen mit offener Hand gezählt (falsche Anschläge, ${percent(probability)})`,
    "misses too much": ({ events, tried, probability }) =>
      `${events} von ${tried} Fingerdrücken verpasst: zu viele (${percent(probability)})`,
    "not read": () => "Pfad nicht gemessen",
    "blind meter": () =>
      "mit einem Messgerät gemessen, das einen verschmutzten Kontakt nicht sehen kann",
    "walk too old": (days) => `zuletzt ${many(days, "Tag", "Tage")} vor dem Wettkampf gemessen`,
    "worked on since": (point, day) => `${point} am ${day} bearbeitet, seither nicht gemessen`,
    "not pressed": () => "noch nicht gedrückt",
    "press on": (presses, probability) =>
      presses === null
        ? `verpasst zu viel für einen Nachweis (zu ${percent(probability)} gut genug)`
        : `noch ${many(presses, "Druck", "Drücke")} für den Nachweis`,
  },
  nothingToDo: "In Ordnung zu bringen: nichts.",
  toDo: (minutesLeft, more, minutes) =>
    `In Ordnung zu bringen${minutesLeft === null ? "" : ` in ${many(minutesLeft, "Minute", "Minuten")}`}, die meisten bereiten Bahnen ` +
    `je Minute zuerst (${figures.decimal(more, 1)} Bahnen mehr erwartet, ${many(Math.ceil(minutes), "Minute", "Minuten")}):`,
  waiting: (who, isForTime) =>
    `${isForTime ? "Keine Zeit für" : "Nichts davon macht bereit"}: ${who}.`,
  exact:
    "Keine andere Wahl in der Zeit und keine andere Reihenfolge ist bei diesen Chancen besser.",
  roughly: "Die Wahl in der Zeit ist die beste; die Reihenfolge folgt einer bewährten Regel.",
  lanesAnd: (lanes, others) =>
    [...(lanes.length === 0 ? [] : [`Bahn ${lanes.map(inLine).join(", ")}`]), ...others].join(
      " und ",
    ),
  step: ({ fix, minutes, done, chance, makes }) =>
    `${fix}: ${minutesText(minutes)} (fertig nach ${minutesText(done)}), ` +
    `Chance ${percent(chance)}${makes === "" ? "" : `, dann bereit: ${makes}`}`,
  fixes: {
    look: ({ place }) =>
      `Unterbrechung suchen, fest zusammenstecken und messen: ${places.connector(place)}`,
    clean: ({ place }) => `Reinigen und nachmessen: ${places.connector(place)}`,
    replace: ({ place }) => `Ersetzen und nachmessen: ${places.connector(place)}`,
    read: ({ circuit }) => `Jeden Punkt messen: ${places.circuit(circuit)}`,
    "check pad": ({ circuit }) =>
      `Stecker an die Nachbarbahn umstecken und drücken, und nur wenn die Fehler mitgehen, zu zweit ausheben: ${places.circuit(circuit)}`,
    "dry device": ({ circuit }) =>
      `Gerät und Anschluss trocknen, dann nachmessen: ${places.circuit(circuit)}`,
    press: ({ circuit }) => `Weiter drücken: ${places.circuit(circuit)}`,
    "pad strokes": () =>
      "Eine Matte einweichen (derweil anderswo weiterarbeiten) und ihre Pumpenhübe finden",
    "set pad": ({ place }) =>
      `Zu zweit: der Matte der Bahn ${inLine(place.lane ?? "")} diese Hübe geben`,
  },
  toCarry: (enough, asked, unread) =>
    `Mitzunehmen (alles zusammen reicht zu ${percent(enough)}, verlangt ${percent(asked)}` +
    `${unread === 0 ? "" : `; ${many(unread, "Verbindung", "Verbindungen")} nicht gemessen, nach der Beckendatei angenommen`}):`,
  item: ({ item, needed, enough, inRegister }) =>
    `${thing(item)} (überhaupt gebraucht: ${percent(needed)}${enough === null ? "" : `; reicht: ${percent(enough)}`})` +
    `${inRegister === null ? "" : `, ${inRegister} im Verzeichnis`}`,
  leftAtHome: (items, needed) =>
    `Bleibt daheim: ${items.map((item) => thing(item).replace(/^Ersatz: /, "Ersatz für ")).join(", ")} ` +
    `(je mit höchstens ${percent(needed)} gebraucht).`,
  rules:
    "Welche Zeit gilt, wenn eine Matte und ihr Ersatz sich widersprechen oder die Zeitmessung einer " +
    "Bahn ausfällt, sagen die Regeln des Wettkampfs und sein Kampfgericht.",
};
