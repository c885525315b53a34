import type { Moved } from "./body-ages.ts";
import type { Entry } from "./contact-chain.ts";
import { addEntries, type Lot, NEGLIGIBLE, type Says, type Standing } from "./standing.ts";
import { CLASSES, type TrueBlock } from "./true-states.ts";

/** P(its own reading asks for a cleaning). */
export function asking({ lots, says }: Standing): number {
  let sum = 0;
  for (const { mass, ages } of lots)
    for (let failed = 0; failed < mass.length; failed++) {
      const each = mass[failed]!;
      const { asks, never } = says[failed]!;
      if (!never && ages.any(failed))
        for (let at = 0; at < each.length; at++) sum += each[at]! * asks[at]!;
    }
  return sum;
}

/**
 * One walk's work on one contact. `others`: P(another contact of the connector asks).
 *
 * @returns P(replaced)
 */
export const work = (now: Standing, others: number): number =>
  now.lots.reduce((sum, lot) => sum + workLot(now, lot, others), 0);

function workLot(now: Standing, lot: Lot, others: number): number {
  const { says, fine, of } = now;
  const { mass, ages } = lot;
  let replaced = 0;
  // The most failures first, so that what fails at this walk is not cleaned twice.
  for (let failed = mass.length - 1; failed >= 0; failed--)
    if (!ages.any(failed)) continue;
    else if (of.rule.first === "replace") replaced += replaceAsked(now, lot, failed);
    else if (others > 0 || !says[failed]!.never) replaced += cleanAsked(now, lot, failed, others);
  ages.settle();
  if (mass.length === 1) return replaced;
  const none = mass[0]!;
  for (let at = 0; at < none.length; at++) none[at]! += fine[at]!;
  fine.fill(0);
  return replaced;
}

/** Cleans what asks after so many failures; returns P(replaced). */
function cleanAsked(now: Standing, lot: Lot, failed: number, others: number): number {
  const { blocks } = now.states;
  const onward = Math.min(failed + 1, lot.mass.length - 1);
  let replaced = 0;
  for (let mode = 0; mode < blocks.length; mode++) {
    const moved = { fails: 0, fine: 0, replaced: 0 };
    cleanMode(now, lot, mode, failed, onward, others, moved);
    lot.ages.move(failed, onward, mode, moved);
    replaced += moved.replaced;
  }
  return replaced;
}

/** The same for what grows by one mode; adds what becomes of it. */
function cleanMode(
  now: Standing,
  lot: Lot,
  mode: number,
  failed: number,
  next: number,
  others: number,
  moved: Moved,
): void {
  const { stays } = now.states;
  const says = now.says[failed]!;
  const each = lot.mass[failed]!;
  const onward = lot.mass[next]!;
  const good = failed === 0 ? each : now.fine;
  const { start, levels, others: open, end, floor, mended } = now.states.blocks[mode]!;
  const quiet = 1 - others;
  const { asks } = says;
  let toMend = 0;
  for (let at = open; at < end; at += 2) toMend += each[at]! * (1 - (1 - asks[at]!) * quiet);
  const cleaned: Cleaned = { says, each, onward, good, quiet };
  const cured = cleanRun(cleaned, start, start + 2 * levels, stays[start]!, moved);
  cleanRun(cleaned, start + 2 * levels, open, 1, moved);
  for (let k = 0; k < 4; k++) cleanRun(cleaned, open + k, open + k + 1, stays[open + k]!, moved);
  const toFloor = cured * (1 - stays[start]!);
  if (toFloor > 0) bring(floor, toFloor, says, onward, good, moved);
  if (toMend > 0) bring(mended, toMend, says, onward, good, moved);
}

/** Where what is cleaned comes from and goes to. */
interface Cleaned {
  readonly says: Says;
  readonly each: Float64Array;
  readonly onward: Float64Array;
  readonly good: Float64Array;
  /** P(no other contact of the connector asks). */
  readonly quiet: number;
}

/**
 * States of which a cleaning leaves one share where they stand. Where nothing that asks is replaced, or
 * all of it, what fails or is replaced is what asks again: most of a memo's time goes by here.
 *
 * @returns how much was cleaned
 */
function cleanRun(of: Cleaned, from: number, to: number, stay: number, moved: Moved): number {
  const { ends } = of.says;
  if (ends === "some") return cleanSome(of, from, to, stay, moved);
  const { each, onward, good, quiet } = of;
  const { asks } = of.says;
  const again = ends === "never";
  let all = 0;
  let asking = 0;
  const alone = quiet === 1;
  for (let at = from; at < to; at++) {
    const own = asks[at]!;
    if (alone && own === 0) continue;
    const here = each[at]!;
    const share = here * (1 - (1 - own) * quiet);
    const kept = share * stay;
    const worse = kept * own;
    all += share;
    asking += worse;
    each[at] = here - share;
    if (again) onward[at]! += worse;
    good[at]! += kept - worse;
  }
  if (again) moved.fails += asking;
  else moved.replaced += asking;
  moved.fine += all * stay - asking;
  return all;
}

function cleanSome(of: Cleaned, from: number, to: number, stay: number, moved: Moved): number {
  const { each, onward, good, quiet } = of;
  const { asks, out, fails, fine } = of.says;
  let all = 0;
  let replaced = 0;
  let failed = 0;
  let mended = 0;
  for (let at = from; at < to; at++) {
    const here = each[at]!;
    const share = here * (1 - (1 - asks[at]!) * quiet);
    if (share === 0) continue;
    const kept = share * stay;
    const worse = kept * fails[at]!;
    const better = kept * fine[at]!;
    all += share;
    replaced += kept * out[at]!;
    failed += worse;
    mended += better;
    each[at] = here - share;
    onward[at]! += worse;
    good[at]! += better;
  }
  moved.replaced += replaced;
  moved.fails += failed;
  moved.fine += mended;
  return all;
}

/** What a cleaning cured stands at its floor, and is read there. */
function bring(
  entries: readonly Entry[],
  amount: number,
  { out, fails, fine }: Says,
  onward: Float64Array,
  good: Float64Array,
  moved: Moved,
): void {
  for (let k = 0; k < entries.length; k++) {
    const { state, weight } = entries[k]!;
    const here = amount * weight;
    const worse = here * fails[state]!;
    const better = here * fine[state]!;
    moved.replaced += here * out[state]!;
    moved.fails += worse;
    moved.fine += better;
    onward[state]! += worse;
    good[state]! += better;
  }
}

/** Takes out what asks, nothing cleaned; returns P(replaced). */
function replaceAsked({ states, says }: Standing, { mass, ages }: Lot, failed: number): number {
  const { asks } = says[failed]!;
  const each = mass[failed]!;
  let replaced = 0;
  for (const [mode, { start, end }] of states.blocks.entries()) {
    const moved = { fails: 0, fine: 0, replaced: 0 };
    for (let at = start; at < end; at++) {
      const taken = each[at]! * asks[at]!;
      moved.replaced += taken;
      each[at]! -= taken;
    }
    ages.move(failed, failed, mode, moved);
    replaced += moved.replaced;
  }
  return replaced;
}

/** Weeks of trouble, and P(the body breaks), summed up. */
export interface Suffered {
  low: number;
  open: number;
  intermittent: number;
  broken: number;
}

/** What so many failures have left, on to the next walk; adds what it suffers until then. */
export function pushTrue(now: Standing, lot: Lot, failed: number, sums: Suffered): void {
  const { ages } = lot;
  if (!ages.any(failed)) return;
  const [mass, out] = [lot.mass[failed]!, now.spare];
  const { blocks, low, fouled, faulty, mends } = now.states;
  for (let mode = 0; mode < blocks.length; mode++) {
    const block = blocks[mode]!;
    const breaks = ages.passOn(failed, mode);
    const kept = 1 - breaks;
    let all = 0;
    sums.low += kept * pushRows(block, low, mass, out, kept, now.fouling);
    for (let c = 0; c < CLASSES; c++) {
      all += now.fouling[c]!;
      now.fouling[c]! *= fouled;
    }
    for (let c = 0; c < CLASSES; c++)
      if (now.fouling[c]! > 0) addEntries(block.fouled[c]!, now.fouling[c]!, out);
    let mended = 0;
    let rest = 0;
    for (let k = 0; k < 4; k++) {
      const here = kept * mass[block.others + k]!;
      mended += mends * here;
      rest += here;
      if (k < 2) sums.open += here;
      else sums.intermittent += here;
      out[block.others + k] = (1 - mends) * here + faulty[k]! * all;
    }
    if (mended > 0) addEntries(block.mended, mended, out);
    sums.broken += ((all + rest) * breaks) / Math.max(NEGLIGIBLE, kept);
  }
  lot.mass[failed] = out;
  now.spare = mass;
}

/**
 * Levels of all classes on to the next walk, side by side: each place and weight is then looked up once.
 * Tells `wholes` how much of each class there was; returns the weeks that the path reads low.
 */
function pushRows(
  { start, levels, inward: { first, to, weight } }: TrueBlock,
  low: Float64Array,
  mass: Float64Array,
  out: Float64Array,
  kept: number,
  wholes: Float64Array,
): number {
  const film = start + levels;
  const oxide = film + levels;
  let allCured = 0;
  let allFilm = 0;
  let allOxide = 0;
  let weeks = 0;
  for (let j = 0; j < levels; j++) {
    const ofCured = mass[start + j]!;
    const ofFilm = mass[film + j]!;
    const ofOxide = mass[oxide + j]!;
    allCured += ofCured;
    allFilm += ofFilm;
    allOxide += ofOxide;
    // Whatever it is, it reads alike.
    weeks += (ofCured + ofFilm + ofOxide) * low[start + j]!;
  }
  wholes[0] = allCured < NEGLIGIBLE ? 0 : kept * allCured;
  wholes[1] = allFilm < NEGLIGIBLE ? 0 : kept * allFilm;
  wholes[2] = allOxide < NEGLIGIBLE ? 0 : kept * allOxide;
  if (allCured + allFilm + allOxide < NEGLIGIBLE) {
    out.fill(0, start, oxide + levels);
    return weeks;
  }
  let k = 0;
  for (let j = 0; j < levels; j++) {
    let sumCured = 0;
    let sumFilm = 0;
    let sumOxide = 0;
    for (const end = first[j + 1]!; k < end; k++) {
      const share = weight[k]!;
      const at = to[k]!;
      sumCured += share * mass[start + at]!;
      sumFilm += share * mass[film + at]!;
      sumOxide += share * mass[oxide + at]!;
    }
    out[start + j] = sumCured < NEGLIGIBLE ? 0 : kept * sumCured;
    out[film + j] = sumFilm < NEGLIGIBLE ? 0 : kept * sumFilm;
    out[oxide + j] = sumOxide < NEGLIGIBLE ? 0 : kept * sumOxide;
  }
  return weeks;
}
