import type { ContactPriors } from "../domain/circuit.ts";
import type { StateChances } from "../inference/problem.ts";

/**
 * What is believed of a contact before any reading, the body of its connector being clean and being
 * contaminated: fouled f, open in the connector `openPerFouled` f, open in the cable, intermittent;
 * the rest is sound.
 */
export function stateChances(
  { fouled, fouledIfContaminated, cableBreak, intermittent }: ContactPriors,
  openPerFouled: number,
): readonly [clean: StateChances, contaminated: StateChances] {
  const given = (f: number): StateChances => {
    const open = openPerFouled * f;
    const sound = 1 - f - open - cableBreak - intermittent;
    if (sound < 0) throw new Error(`a contact's chances add to ${1 - sound}, over 1`);
    return { sound, fouled: f, open, cable: cableBreak, intermittent };
  };
  return [given(fouled), given(fouledIfContaminated)];
}
