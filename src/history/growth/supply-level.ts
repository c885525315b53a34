import { discard, filterContact, type StartMasses } from "./contact-filter.ts";
import type { JumpLaw } from "./contact-life.ts";
import type { ContactMoments } from "./contact-moments.ts";
import { contactTable } from "./contact-table.ts";
import type { SeasonData } from "./season-data.ts";
import type { PathSupply } from "./supply-line.ts";

/** What one round of fitting knows of the contacts. */
export interface ContactsSoFar {
  readonly moments: readonly (readonly ContactMoments[])[];
  /** By class: P(row) of a new contact. */
  readonly before: readonly Float64Array[];
  readonly start: StartMasses;
  readonly jumps: JumpLaw;
  readonly scatter: number;
}

/** Between shifts of the whole supply that are weighed [V], how many at first to each side, and at most. */
const BETWEEN = 0.003;
const AT_FIRST = 2;
const AT_MOST = 16;
/** No season's supply is known better [V]. */
const SURE = 0.002;

/**
 * The level of the supply over a whole season, which the equations of its walks hardly settle: a
 * supply that is higher by so much, and every first contact by so many ohms, show the same. What
 * parts them is what contacts are: sound ones stand at their floor. So one contact of each path,
 * which would have to take the shift upon itself, is asked how likely its values are with it,
 *
 *     P(shift | values) ~ Normal(mean of the EMF + shift) prod over paths  Z(values | shift)
 *
 * each path being told what the others say. The supply as it was, shifted; the level's error is its
 * first mode.
 */
export function settleLevel(
  season: SeasonData,
  supply: readonly PathSupply[],
  contacts: ContactsSoFar,
): readonly PathSupply[] {
  const walks = season.days.length;
  const settled: PathSupply[] = [];
  season.supplies.forEach(({ emf, emfSd }, s) => {
    const paths = season.paths.flatMap((path, p) => (path.supply === s ? [p] : []));
    const bearers = paths.map((p) => bearerOf(season, p, contacts.moments[p]!));
    const found = new Map<number, readonly number[]>();
    const weigh = (j: number): void => {
      const shift = j * BETWEEN;
      found.set(
        j,
        paths.map((p, i) => lnShifted(season, p, bearers[i]!, supply[p]!, shift, contacts)),
      );
    };
    const lnBefore = (p: number, j: number): number => {
      const level = supply[p]!.emf.reduce((sum, one) => sum + one, 0) / walks + j * BETWEEN;
      return -0.5 * ((level - emf) / emfSd) ** 2;
    };
    const total = (j: number): number =>
      found.get(j)!.reduce((sum, ln) => sum + ln, lnBefore(paths[0]!, j));
    for (let j = -AT_FIRST; j <= AT_FIRST; j++) weigh(j);
    let [low, high] = [-AT_FIRST, AT_FIRST];
    for (; low > -AT_MOST && total(low) > total(low + 1) - 4; low--) weigh(low - 1);
    for (; high < AT_MOST && total(high) > total(high - 1) - 4; high++) weigh(high + 1);
    paths.forEach((p, i) => {
      const lns = [...found].map(
        ([j, own]) => [j, own.reduce((sum, ln) => sum + ln, lnBefore(p, j)) - own[i]!] as const,
      );
      settled[p] = shifted(supply[p]!, lns);
    });
  });
  return settled;
}

/** The contact in front of a path's first value that has most to give, or to take. */
function bearerOf(season: SeasonData, p: number, moments: readonly ContactMoments[]): number {
  const { contacts, first } = season.paths[p]!;
  const isRead = (k: number): boolean =>
    season.days.some((_, w) => first[w * contacts + k]! < first[w * contacts + k + 1]!);
  const sizes = moments.map(({ mean }) => mean.reduce((sum, ohms) => sum + ohms, 0));
  const seen = sizes.findIndex((_, k) => isRead(k));
  const front = sizes.slice(0, seen + 1);
  return seen < 0 ? 0 : front.indexOf(Math.max(...front));
}

/** ln P(a path's values | the supply shifted), its bearer's growth and level being open. */
function lnShifted(
  season: SeasonData,
  p: number,
  k: number,
  { emf, error, modes }: PathSupply,
  shift: number,
  { moments, before, start, jumps, scatter }: ContactsSoFar,
): number {
  const supply = { emf: emf.map((one) => one + shift), error, modes: modes.slice(1) };
  const table = contactTable(season.paths[p]!, k, moments[p]!, supply, scatter);
  return season.lives[p]![k]!.reduce((ln, life) => {
    const filter = filterContact(life, table, season.clock, start, jumps);
    const most = Math.max(...filter.lnRows);
    const law = before[life.group]!;
    const sum = law.reduce((all, share, r) => all + share * Math.exp(filter.lnRows[r]! - most), 0);
    discard(filter);
    return ln + most + Math.log(Math.max(Number.MIN_VALUE, sum));
  }, 0);
}

/** A supply at its mean shift, the level's error as its first mode. `lns`: by shift. */
function shifted(
  supply: PathSupply,
  lns: readonly (readonly [j: number, ln: number])[],
): PathSupply {
  const most = Math.max(...lns.map(([, ln]) => ln));
  let [sum, first, second] = [0, 0, 0];
  for (const [j, ln] of lns) {
    const weight = Math.exp(ln - most);
    sum += weight;
    first += weight * j * BETWEEN;
    second += weight * (j * BETWEEN) ** 2;
  }
  const shift = first / sum;
  const sd = Math.sqrt(Math.max(SURE ** 2, second / sum - shift ** 2));
  const emf = supply.emf.map((one) => one + shift);
  return { ...supply, emf, modes: [emf.map(() => sd), ...supply.modes.slice(1)] };
}
