import { type ClassAnswer, learnClass, weighLaws } from "./class-growth.ts";
import {
  type ContactFilter,
  discard,
  filterContact,
  lookBack,
  type RowsInQuestion,
  type StartMasses,
} from "./contact-filter.ts";
import type { ContactLife, JumpLaw } from "./contact-life.ts";
import { type ContactMoments, momentsOf, unknownMoments } from "./contact-moments.ts";
import { contactTable } from "./contact-table.ts";
import { growthRows } from "./growth-rows.ts";
import type { SeasonData, SupplyBefore } from "./season-data.ts";
import { startMasses } from "./start-masses.ts";
import { settleLevel } from "./supply-level.ts";
import { type PathSupply, supplyLine } from "./supply-line.ts";

/** One life, filtered, with its table of walks. */
export interface FittedLife {
  readonly life: ContactLife;
  readonly table: Float64Array;
  readonly filter: ContactFilter;
  /** P(row | all values of all contacts). */
  readonly rows: Float64Array;
}

/** What all walks say of all contacts. */
export interface SeasonFit extends FitState {
  /** By path, by position, the present life last. */
  readonly lives: readonly (readonly (readonly FittedLife[])[])[];
  readonly classes: readonly ClassAnswer[];
  /** By class: P(growth is linear in ohms). */
  readonly ohmLaw: readonly number[];
  readonly start: StartMasses;
  readonly jumps: JumpLaw;
  readonly scatter: number;
}

interface Draft {
  readonly life: ContactLife;
  readonly table: Float64Array;
  readonly filter: ContactFilter;
}

/** What a round of fitting starts from. */
export interface FitState {
  readonly moments: readonly (readonly ContactMoments[])[];
  readonly supply: readonly PathSupply[];
  /** By class: P(row) of a new contact. */
  readonly before: readonly Float64Array[];
  /** By path, position and life: rows that are still in question; empty: all are. */
  readonly question: RowsInQuestion[][][];
}

/** A row of so small a share does not come back in a later round. */
const RULED_OUT = 1e-7;

/** What is believed of each class before any walk. */
export const lawsBefore = ({ groups }: SeasonData): readonly Float64Array[] =>
  Array.from({ length: groups }, () => rowsOfClass(learnClass([]), 0.5));

/** Nothing known but the supply, roughly. */
export function firstState(season: SeasonData): FitState {
  const walks = season.days.length;
  return {
    moments: season.paths.map((path) =>
      Array.from({ length: path.contacts }, () => unknownMoments(walks)),
    ),
    supply: roughSupply(season),
    before: lawsBefore(season),
    question: season.lives.map((path) => path.map(() => [])),
  };
}

/**
 * Fits a season in rounds: every contact, one after the other, from what the others on its path are
 * expected to be; the classes, from all their contacts; the supply.
 */
export function fitSeason(
  season: SeasonData,
  state: FitState,
  jumps: JumpLaw,
  scatter: number,
  rounds: number,
): SeasonFit {
  const start = startMasses(season);
  const { moments } = state;
  let { supply, before } = state;
  for (let round = 1; ; round++) {
    const drafts = season.lives.map((path, p) =>
      path.map((lives, k) => {
        const table = contactTable(season.paths[p]!, k, moments[p]!, supply[p]!, scatter);
        return lives.map((life, n): Draft => {
          const own = state.question[p]![k]!;
          const law = before[life.group]!;
          const filtered = (question?: RowsInQuestion) =>
            filterContact(life, table, season.clock, start, jumps, question);
          let filter = filtered(own[n]);
          // What was left in question for it is as good as ruled out for its class by now: all over again.
          const left = law.reduce(
            (sum, share, r) => sum + (Number.isFinite(filter.lnRows[r]) ? share : 0),
            0,
          );
          if (left < RULED_OUT) {
            discard(filter);
            filter = filtered();
          }
          const rows = weighRows(law, filter.lnRows);
          own[n] = Uint8Array.from(rows, (share) => (share > RULED_OUT ? 1 : 0));
          const after = lookBack(filter, start, jumps);
          momentsOf(filter, after, rows, season.clock, moments[p]![k]!);
          return { life, table, filter };
        });
      }),
    );
    const { classes, ohmLaw, rows } = learn(season, drafts);
    before = classes.map((one, g) => rowsOfClass(one, ohmLaw[g]!));
    if (round === rounds) {
      const lives = drafts.map((path) =>
        path.map((own) => own.map((draft) => ({ ...draft, rows: rows.get(draft.life)! }))),
      );
      const { question } = state;
      return { question, supply, before, moments, lives, classes, ohmLaw, start, jumps, scatter };
    }
    const line = supplyLine(season, moments, scatter, supply);
    supply = settleLevel(season, line, { moments, before, start, jumps, scatter });
    for (const { filter } of drafts.flat(2)) discard(filter);
  }
}

/** P(row) of a new contact of a class, both laws weighed. */
const rowsOfClass = ({ anew }: ClassAnswer, ohm: number): Float64Array =>
  Float64Array.from(growthRows, (_, r) => (1 - ohm) * anew[0]![r]! + ohm * anew[1]![r]!);

/** Added to every row's share: a law that has none of what values leave says nothing of them. */
const NO_SHARE = 1e-300;

/** P(row | one contact's values). */
function weighRows(before: Float64Array, lnRows: Float64Array): Float64Array {
  const most = lnRows.reduce((top, ln) => Math.max(top, ln), Number.NEGATIVE_INFINITY);
  const weights = before.map((share, r) => (share + NO_SHARE) * Math.exp(lnRows[r]! - most));
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return weights.map((weight) => weight / sum);
}

/** Classes from all their lives; each life's rows, both laws weighed. */
function learn(season: SeasonData, drafts: readonly (readonly (readonly Draft[])[])[]) {
  const byGroup: Draft[][] = Array.from({ length: season.groups }, () => []);
  for (const draft of drafts.flat(2)) byGroup[draft.life.group]!.push(draft);
  const classes = byGroup.map((group) => learnClass(group.map(({ filter }) => filter.lnRows)));
  const ohmLaw = weighLaws(classes.map(({ lnLaw }) => lnLaw));
  const rows = new Map<ContactLife, Float64Array>();
  byGroup.forEach((group, g) => {
    const ohm = ohmLaw[g]!;
    group.forEach(({ life }, n) => {
      const [log, other] = [classes[g]!.rows[0]![n]!, classes[g]!.rows[1]![n]!];
      rows.set(
        life,
        Float64Array.from(growthRows, (_, r) => (1 - ohm) * log[r]! + ohm * other[r]!),
      );
    });
  });
  return { classes, ohmLaw, rows };
}

/** Before anything is known of the contacts: the middle of the values at the first point. */
function roughSupply(season: SeasonData): readonly PathSupply[] {
  const bySupply = season.supplies.map((before, s) => roughEmf(season, before, s));
  const error = new Float64Array(season.days.length).fill(ROUGH);
  return season.paths.map((path) => ({ emf: bySupply[path.supply]!, error, modes: [] }));
}

function roughEmf(season: SeasonData, before: SupplyBefore, s: number): Float64Array {
  const paths = season.paths.filter(({ supply }) => supply === s);
  return season.days.map((_, w) => {
    const values = paths.flatMap((path) => {
      for (let k = 0; k < path.contacts; k++) {
        const at = w * path.contacts + k;
        if (path.first[at]! === path.first[at + 1]!) continue;
        const i = path.first[at]!;
        const load = path.load[i]!;
        const wires = path.wires.subarray(0, k + 1).reduce((sum, wire) => sum + wire, 0);
        return [(path.shown[i]! * (load + path.sourceOhms + wires + 0.3 * (k + 1))) / load];
      }
      return [];
    });
    values.sort((a, b) => a - b);
    const middle = values[Math.floor(values.length / 2)] ?? before.emf;
    return Math.abs(middle - before.emf) < 6 * before.emfSd ? middle : before.emf;
  });
}

/** What the middle of the values is trusted to [V]. */
const ROUGH = 0.01;
