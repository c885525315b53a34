/**
 * What a person takes from `check`'s text, read back from it in either language: by the phrases that
 * stand here, written down by themselves and not taken from the dictionaries.
 */
interface Reader {
  readonly head: RegExp;
  readonly acts: Readonly<Record<string, string>>;
  readonly lane: RegExp;
  readonly limit: RegExp;
  readonly weak: RegExp;
  readonly others: RegExp;
  readonly meter: RegExp;
  readonly informed: RegExp;
  readonly marks: Readonly<Record<string, string>>;
  readonly over: string;
}

export const readers: Readonly<Record<"en" | "de", Reader>> = {
  en: {
    head: /^(.+), walk (\S+): (\d+) readings? of (\d+) circuits?$/,
    acts: {
      fouled: "fouled",
      open: "open",
      "look for the break": "look",
      "comes and goes": "comes-and-goes",
      "cable broken": "cable",
    },
    lane: /^lane (\S+) /,
    limit: /\(limit (\S+) V\)/,
    weak: /^Weak \(limit [^)]*\): (.*)\.$/m,
    others: /^ {2}(\d+) other circuits? (?:is|are) sound: (\S+) V or more at the last point\.$/m,
    meter: /^Meter (\S+): shows a contact of (\S+) Ω or more\.$/m,
    informed: /^Starts from what the walks? (.*) left\.$/m,
    marks: { weak: "weak", open: "open", again: "again" },
    over: "over",
  },
  de: {
    head: /^(.+), Rundgang (\S+): (\d+) Messwerte?, (\d+) Stromkreise?$/,
    acts: {
      verschmutzt: "fouled",
      offen: "open",
      "Unterbrechung suchen": "look",
      Wackelkontakt: "comes-and-goes",
      "Kabel gebrochen": "cable",
    },
    lane: /^Bahn (\S+) /,
    limit: /\(Grenze (\S+) V\)/,
    weak: /^Schwach \(Grenze [^)]*\): (.*)\.$/m,
    others:
      /^ {2}(\d+) andere[r]? Stromkreise? (?:ist|sind) in Ordnung: am letzten Punkt (\S+) V oder mehr\.$/m,
    meter: /^Messgerät (\S+): zeigt einen Kontakt ab (\S+) Ω\.$/m,
    informed: /^Geht von dem aus, was (?:der Rundgang|die Rundgänge) (.*) ergab(?:en)?\.$/m,
    marks: { tief: "weak", offen: "open", unklar: "again" },
    over: "über",
  },
};

/** Lines that a terminal's width broke, put together again. */
const whole = (text: string): string => text.replace(/\n {2,6}(?=\S)(?!.* {2})/g, " ");

const number = (text: string): number => Number(text.replace(",", "."));

/** One row of the table of acts: lane, connector, how it fails or that a break is looked for, volts, percent. */
interface Act {
  readonly lane: string | null;
  readonly connector: string;
  readonly fails: string;
  readonly volts: number;
  readonly percent: string;
}

/** Everything of a brief answer that is a code or a value. */
export function readBack(text: string, language: "en" | "de") {
  const reader = readers[language];
  const lines = text.split("\n");
  const [, pool, walk, readings, circuits] = reader.head.exec(lines[0]!)!;
  const laneOf = (name: string): string | null => reader.lane.exec(name)?.[1] ?? null;
  const acts = lines.flatMap((line): Act[] => {
    const cells = line.trim().split(/ {2,}/);
    const fails = reader.acts[cells[1] ?? ""];
    if (cells.length !== 4 || fails === undefined) return [];
    return [
      {
        lane: laneOf(cells[0]!),
        connector: cells[0]!.replace(reader.lane, ""),
        fails,
        volts: number(cells[2]!.replace(" V", "")),
        percent: cells[3]!.replace(reader.over, ">"),
      },
    ];
  });
  const prose = whole(text);
  const weak = (reader.weak.exec(prose)?.[1] ?? "").split("; ").map((one) => {
    const [name, volts] = [one.replace(/ \S+ V$/, ""), / (\S+) V$/.exec(one)?.[1] ?? "NaN"];
    return { lane: laneOf(name), device: name.replace(reader.lane, ""), volts: number(volts) };
  });
  const marked = [...text.matchAll(/(\d[.,]\d\d) (\p{L}+)/gu)].flatMap(([, volts, word]) =>
    reader.marks[word!] === undefined ? [] : [[number(volts!), reader.marks[word!]] as const],
  );
  const [, others, least] = reader.others.exec(text) ?? [];
  return {
    ...{ pool, walk, readings: Number(readings), circuits: Number(circuits), acts, weak, marked },
    limit: number(reader.limit.exec(text)?.[1] ?? "NaN"),
    others: Number(others),
    least: number(least ?? "NaN"),
    shows: number(reader.meter.exec(text)?.[2] ?? "NaN"),
    informedBy: (reader.informed.exec(text)?.[1] ?? "").match(/\d{4}-\d\d-\d\d/g),
  };
}
