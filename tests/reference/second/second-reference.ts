import { sharedPoints } from "./even-points.ts";
import type { FacilityText, RowText } from "./facility-text.ts";
import {
  type Fineness,
  leavesOver,
  lookAround,
  negligible,
  thicker,
  thinner,
} from "./look-around.ts";
import { readWalk } from "./read-circuits.ts";
import { choicesOf, sharedAt } from "./shared-choices.ts";
import { type SecondAnswer, Tally } from "./tally-answer.ts";
import { readyWalk, sumCircuits } from "./walk-sums.ts";

/**
 * The whole signal-path model by brute force, for small facilities, written from its description
 * alone to judge the exact sums of `src/`, with which it shares no line.
 *
 * Discrete things are enumerated: bodies, contact states, what conducts, displays, and which unknown
 * source or load takes its single value. The shared numbers (E, D, tau, Rs, RL) lie on an even net
 * around where the readings put them; resistances are drawn at each of its points, guided by the
 * readings, weighted so that every sum stays the model's own. A second run with other points tells
 * the error. States and choices with under a millionth of the evidence are left out.
 *
 * Where the description leaves a choice, this is how it is read:
 *  1. The order of a walk is that of time where every reading has one, else that of rows. It counts
 *     all readings, pressed ones too; one drift and one noise scale for all meters and supplies.
 *  2. Given its body, a contact is open in the connector with a tenth of its chance of being
 *     fouled, open in the cable with the cable's own; intermittent whatever the body; sound with
 *     the rest. The intermittent chance goes to *sound* behind the first intermittent contact, and
 *     everywhere in a circuit that conducts.
 *  3. What conducts: stuck or leaking at the last point of the path, a wet leak at a wet link's
 *     point; "nothing" has what these leave.
 *  4. The chance of a display having gone off belongs to the reading, not to the explanation. With
 *     times it counts from the meter's latest reading that showed more than 0 or is marked as just
 *     switched on; the age there is known by a mark with no unmarked zero since, else uniform given
 *     that it showed; and it is the chance of going off since the meter's previous reading, given
 *     that it was on there. With no such reading, or without times, it is `blank`. A marked reading
 *     is on.
 *  5. The first reading after an off stretch has 1 - q whatever it shows. A display that is off
 *     shows 0 for certain: neither misread nor noise.
 *  6. A bad moment acts on a reading at or behind the intermittent contact, each by itself, and
 *     adds its resistance in that contact's place.
 *  7. A pressed switch lies across the end of its path, beside whatever else conducts there; an
 *     open contact cuts it off, and the points in front of it then read as at rest.
 *  8. An open path is under its limit; an intermittent contact counts with its sound resistance.
 *  9. A link's own `intermittent` comes before a pod's 0.02, and that before the model's.
 * 10. A quantile is the smallest value with so much chance at or below it.
 */

export const secondReference = (
  facility: FacilityText,
  rows: readonly RowText[],
  fineness: Fineness,
): SecondAnswer => {
  const walk = readWalk(facility, rows);
  const ready = readyWalk(walk);
  const choices = choicesOf(walk);
  const looks = choices.map((choice) => lookAround(ready, choice, 16 * fineness.shift));
  const evidence = looks.reduce((sum, look) => sum + look.evidence, 0);
  const tally = new Tally(ready);
  choices.forEach((choice, i) => {
    const look = looks[i]!;
    if (look.evidence < negligible * evidence) return;
    const used = leavesOver(look, negligible);
    const count = (fineness.points * thicker(look.worth)) / thinner(look.evidence / evidence);
    const points = sharedPoints(
      choice.axes.length,
      look.proposals,
      count / Math.max(1, look.proposals.length),
      fineness.shift,
    );
    points.forEach(({ z, weight }, n) => {
      const shared = sharedAt(choice, z);
      const seed = n + 104_729 * (fineness.shift + 1);
      const at = sumCircuits(ready, shared, used, fineness.draws, seed);
      tally.add(shared, (choice.prior * weight) / points.length, at, used);
    });
  });
  return tally.answer();
};
