import type { Answers } from "./answers-of.ts";
import type { Contact } from "./deck.ts";
import { circuitName } from "./layout.ts";
import { SURE } from "./tally.ts";
import type { Truth } from "./truth.ts";

/**
 * The sure statements of one walk that are wrong, one line each: a connector at 99 % or more that is
 * sound, one at 1 % or less that took a telling voltage, a circuit passed though under its limit, a
 * circuit called weak that is not. `telling`: volts from which a fault is one that should be seen [V].
 */
export function wrongStatements(answers: Answers, truth: Truth, telling: number): string[] {
  const sound = answers.connectors
    .filter(({ name, atFault }) => atFault >= SURE && !truth.atFault.has(name))
    .map(({ name, atFault }) => `at fault ${atFault.toFixed(4)}, but sound: ${name}`);
  const missed = answers.connectors
    .filter(({ name, atFault }) => {
      return atFault <= 1 - SURE && truth.atFault.has(name) && volts(truth, name) >= telling;
    })
    .map(
      ({ name, atFault }) =>
        `at fault ${atFault.toFixed(4)}, but took ${volts(truth, name).toFixed(2)} V: ${name}`,
    );
  const paths = new Map(truth.circuits.map((one) => [circuitName(one.circuit), one]));
  const verdicts = answers.circuits.flatMap(({ name, verdict, reason, underLimit }) => {
    const { ohms, under } = paths.get(name)!;
    const wrong = (verdict === "sound" && under) || (verdict === "weak" && !under);
    if (!wrong) return [];
    const so = `P(under) ${underLimit?.toFixed(3) ?? "not judged"}, truly ${ohms.toFixed(1)} ohm`;
    return [`${verdict} (${reason}, ${so}): ${name}`];
  });
  return [...sound, ...missed, ...verdicts];
}

const volts = ({ lost }: Truth, connector: string): number => lost.get(connector) ?? 0;

/** The truth of a walk in lines: every contact that is not sound, what conducts, what was mixed up. */
export function truthText(truth: Truth): string {
  const contact = ({ circuit, link, state, ohms }: Contact): string =>
    `${circuitName(circuit)} ${link.point}: ${state}, ${ohms.toFixed(1)} ohm at rest`;
  const faults = truth.contacts.filter(({ state }) => state !== "sound").map(contact);
  const conducting = truth.circuits.flatMap(({ circuit, across }) =>
    across.map(({ kind, at, ohms }) => `${circuitName(circuit)}: ${kind} ${ohms} ohm, link ${at}`),
  );
  const mixed = truth.mixedUp.map((circuit) => `rows mixed up: ${circuitName(circuit)}`);
  const { crossing, deck } = truth;
  const crossed = crossing
    ? [`crossed before link ${crossing.at}: ${crossing.circuits.map(circuitName).join(", ")}`]
    : [];
  const whole = `supply ${deck.emf.toFixed(3)} V, source ${deck.source} ohm, load ${deck.load} ohm`;
  return `${[whole, ...faults, ...conducting, ...mixed, ...crossed].join("\n")}\n`;
}
