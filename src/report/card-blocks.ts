import type { Decision } from "../domain/decision.ts";
import type { ConnectorFinding } from "../domain/findings.ts";
import { connectorOf, samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { english } from "../words/english.ts";
import { sentence } from "../words/figure-words.ts";
import { briefly, cautionOf } from "./cautions.ts";
import { type Block, heading, list, paragraph } from "./document.ts";
import { connectorName, voltsText } from "./names.ts";
import {
  CARD_PREFACE,
  endsWords,
  replacingCard,
  suspectsCard,
  toolsWords,
  type WorkCard,
} from "./work-cards.ts";

/** The card by which this suspect is seen to, as it is decided; undecided, as common practice has it. */
function cardOf(
  pool: Pool,
  one: ConnectorFinding,
  decisions: readonly Decision[],
): WorkCard | null {
  const action = decisions.find(({ place }) => samePlace(place, one))?.action;
  if (action === "wait" || action === "read-again") return null;
  const kind = connectorOf(pool, one)?.class ?? "outlet";
  return action === "replace" ? replacingCard(kind) : suspectsCard(kind, one.worst);
}

/** Behind what to do: how each kind of it is done, step by step, and at each suspect what ends it. */
export function cardBlocks(
  pool: Pool,
  found: readonly ConnectorFinding[],
  decisions: readonly Decision[],
): readonly Block[] {
  const asked = found.map((one) => ({ one, card: cardOf(pool, one, decisions) }));
  return [...new Set(asked.flatMap(({ card }) => card ?? []))].flatMap((card) => [
    heading(3, card.title),
    paragraph(`${CARD_PREFACE} ${toolsWords(card)}`.trim()),
    list(
      card.steps.map(({ words, cautions }) =>
        cautions.length === 0
          ? [words]
          : [words, { strong: ` ${briefly(english.cautions, "any", cautions.map(cautionOf))}` }],
      ),
      true,
    ),
    ...asked
      .filter((each) => each.card === card)
      .map(({ one }) =>
        paragraph(
          { strong: `${sentence(connectorName(one))} is done when: ` },
          endsWords(card, one.point, endVolts(one)),
        ),
      ),
  ]);
}

const endVolts = ({ evidence, point }: ConnectorFinding): string => {
  const sound = evidence.find((each) => each.point === point)?.expectedIfSound;
  return sound === undefined ? "what its neighbours read" : voltsText(sound);
};
