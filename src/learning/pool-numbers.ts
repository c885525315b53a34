import type { Connector, ConnectorClass, ContactPriors } from "../domain/circuit.ts";
import type { Pool } from "../domain/pool.ts";
import { ohms, volts } from "../domain/units.ts";

/** One number of the pool file that walks can speak about. */
export interface PoolNumber {
  /** Where it stands in the pool file; of a class, the same for all its links. */
  readonly key: string;
  readonly unit: "" | "V" | "ohm";
  /** Probabilities are moved by their log odds, all else by its logarithm. */
  readonly scale: "odds" | "log";
  readonly value: number;
  /** What one walk of every point shows of it: so many independent cases. */
  readonly casesPerWalk: number;
  /** Standard deviation of one case's logarithm; where the scale is odds it plays no part. */
  readonly caseSd: number;
  readonly set: (pool: Pool, value: number) => Pool;
}

/** The pool with every connector of a class changed, in its links, connectors and paths alike. */
function withPriors(pool: Pool, kind: ConnectorClass, change: Partial<ContactPriors>): Pool {
  const changed = <Of extends { readonly class: ConnectorClass; readonly priors: ContactPriors }>(
    of: Of,
  ): Of => (of.class === kind ? { ...of, priors: { ...of.priors, ...change } } : of);
  const connectors = pool.connectors.map(changed);
  return {
    ...pool,
    links: pool.links.map(changed),
    connectors,
    circuits: pool.circuits.map((circuit) => ({
      ...circuit,
      path: circuit.path.map((step) => ({ ...step, connector: connectors[step.connector.index]! })),
    })),
  };
}

/** Several links of a class may differ; then there is no one number to learn. */
const alike = (of: readonly Connector[], key: keyof ContactPriors): boolean =>
  new Set(of.map(({ priors }) => priors[key])).size === 1;

const classNumber = (
  pool: Pool,
  kind: ConnectorClass,
  key: "contaminated" | "fouled",
  file: string,
): readonly PoolNumber[] => {
  const of = pool.connectors.filter((connector) => connector.class === kind);
  const value = of[0]?.priors[key] ?? 0;
  if (value <= 0 || !alike(of, key)) return [];
  const contacts = of.reduce((sum, { circuits }) => sum + circuits.length, 0);
  return [
    {
      key: `class ${kind}: ${file}`,
      unit: "",
      scale: "odds",
      value,
      caseSd: 1,
      casesPerWalk: key === "contaminated" ? of.length : contacts,
      set: (to, next) => withPriors(to, kind, { [key]: next }),
    },
  ];
};

/** A term of the model that is switched off has nothing to learn. */
const modelNumber = (
  key: "misread" | "openPerFouled" | "blank",
  file: string,
  value: number,
  casesPerWalk: number,
): readonly PoolNumber[] =>
  value <= 0
    ? []
    : [
        {
          key: `model.${file}`,
          unit: "",
          scale: "odds",
          value,
          caseSd: 1,
          casesPerWalk,
          set: (to, next) => ({ ...to, model: { ...to.model, [key]: next } }),
        },
      ];

/** Every number of a pool file that its own walks can speak about. */
export function poolNumbers(pool: Pool): readonly PoolNumber[] {
  const kinds = [...new Set(pool.connectors.map((connector) => connector.class))];
  const readings = pool.circuits.reduce((sum, { path }) => sum + path.length, 0);
  const { misread, openPerFouled, blank } = pool.model;
  const { sound, fouled } = pool.contact;
  const film = fouled[0]!;
  const fouledContacts = pool.connectors.reduce(
    (sum, { priors, circuits }) => sum + priors.fouled * circuits.length,
    0,
  );
  return [
    ...kinds.flatMap((kind) => [
      ...classNumber(pool, kind, "contaminated", "contaminated"),
      ...classNumber(pool, kind, "fouled", "fouled"),
    ]),
    ...modelNumber("openPerFouled", "open_per_fouled", openPerFouled, fouledContacts),
    ...modelNumber("misread", "misread", misread, readings),
    ...modelNumber("blank", "blank", blank, readings),
    ...pool.meters.map(
      ({ name, noise }, at): PoolNumber => ({
        key: `meter ${name}: noise`,
        unit: "V",
        scale: "log",
        value: noise,
        casesPerWalk: readings,
        caseSd: Math.SQRT1_2,
        set: (to, next) => ({
          ...to,
          meters: to.meters.map((meter, m) =>
            m === at ? { ...meter, noise: volts(next) } : meter,
          ),
        }),
      }),
    ),
    {
      key: "contact.sound.median_ohms",
      unit: "ohm",
      scale: "log",
      value: sound.medianOhms,
      casesPerWalk: readings,
      caseSd: sound.logSd,
      set: (to, next) => ({
        ...to,
        contact: { ...to.contact, sound: { ...to.contact.sound, medianOhms: ohms(next) } },
      }),
    },
    {
      key: "contact.fouled[0].median_ohms",
      unit: "ohm",
      scale: "log",
      value: film.medianOhms,
      casesPerWalk: fouledContacts,
      caseSd: film.logSd,
      set: (to, next) => ({
        ...to,
        contact: {
          ...to.contact,
          fouled: to.contact.fouled.map((part, i) =>
            i === 0 ? { ...part, medianOhms: ohms(next) } : part,
          ),
        },
      }),
    },
  ];
}
