import type { Connector, ConnectorClass, ContactPriors } from "../domain/circuit.ts";
import { type LogNormal, type Pool, UNIT_LOAD } from "../domain/pool.ts";
import { ohms, volts } from "../domain/units.ts";

/**
 * What a number has a hand in: the chance of bodies; each circuit's contacts and readings; the
 * walk as a whole, its supply and displays too; the noise of the only meter.
 */
export type NumberReach = "bodies" | "circuits" | "walk" | "noise";

/** One number of the pool file that walks can speak about. */
export interface PoolNumber {
  /** Where it stands in the pool file; of a class, the same for all its links. */
  readonly key: string;
  readonly unit: "" | "V" | "ohm";
  /** Chances are moved by their log odds, laws of resistance and of noise by their logarithm. */
  readonly form: "chance" | "law";
  readonly reach: NumberReach;
  /** No circuit meets it more than once: its likelihood is a straight line in the value. */
  readonly once: boolean;
  readonly value: number;
  /** What one walk of every point shows of it: so many independent cases. */
  readonly casesPerWalk: number;
  /** Standard deviation of one case's logarithm as a walk shows it; of a chance it plays no part. */
  readonly caseSd: number;
  /** A chance that leaves a contact's others no room is taken down to what does. */
  readonly set: (pool: Pool, value: number) => Pool;
}

/** Its place on the scale on which it is moved. */
export const toScale = ({ form }: Pick<PoolNumber, "form">, value: number): number =>
  form === "chance" ? Math.log(value / (1 - value)) : Math.log(value);

export const fromScale = ({ form }: Pick<PoolNumber, "form">, at: number): number =>
  form === "chance" ? 1 / (1 + Math.exp(-at)) : Math.exp(at);

/** How far down and up its scale a number is tried: a chance threefold, a law by its e^0.5. */
export const apartOf = ({ form }: Pick<PoolNumber, "form">): number =>
  form === "chance" ? Math.log(3) : 0.5;

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

/** So much of a contact's chances faults may take together. */
const MOST_FAULTS = 0.99;

/** What is left for P(fouled) and the opens that go with it. */
const roomOf = ({ cableBreak, intermittent }: ContactPriors): number =>
  MOST_FAULTS - cableBreak - intermittent;

function classNumber(
  pool: Pool,
  kind: ConnectorClass,
  key: "contaminated" | "fouled",
): readonly PoolNumber[] {
  const of = pool.connectors.filter((connector) => connector.class === kind);
  const value = of[0]?.priors[key] ?? 0;
  if (value <= 0 || !alike(of, key)) return [];
  const contacts = of.reduce((sum, { circuits }) => sum + circuits.length, 0);
  const passes = pool.circuits.map(
    ({ path }) => path.filter(({ connector }) => connector.class === kind).length,
  );
  const most = (to: Pool): number =>
    key === "contaminated"
      ? 1
      : Math.min(...of.map(({ priors }) => roomOf(priors))) / (1 + to.model.openPerFouled);
  return [
    {
      key: `class ${kind}: ${key}`,
      unit: "",
      form: "chance",
      reach: key === "contaminated" ? "bodies" : "circuits",
      once: Math.max(...passes) < 2,
      value,
      caseSd: 1,
      casesPerWalk: key === "contaminated" ? of.length : contacts,
      set: (to, next) => withPriors(to, kind, { [key]: Math.min(next, most(to)) }),
    },
  ];
}

/** The largest P(open) for each P(fouled) that every contact has room for. */
const mostOpens = ({ connectors }: Pool): number =>
  Math.min(
    ...connectors.map(
      ({ priors }) => roomOf(priors) / Math.max(priors.fouled, priors.fouledIfContaminated) - 1,
    ),
  );

/** A term of the model that is switched off has nothing to learn. */
const modelNumber = (
  key: "misread" | "openPerFouled" | "blank",
  file: string,
  { model }: Pool,
  casesPerWalk: number,
): readonly PoolNumber[] =>
  model[key] <= 0
    ? []
    : [
        {
          key: `model.${file}`,
          unit: "",
          form: "chance",
          reach: key === "blank" ? "walk" : "circuits",
          once: false,
          value: model[key],
          caseSd: 1,
          casesPerWalk,
          set: (to, next) => {
            const value = key === "openPerFouled" ? Math.min(next, mostOpens(to)) : next;
            return { ...to, model: { ...to.model, [key]: value } };
          },
        },
      ];

/** A walk measures a meter's noise by all its readings, and has a scale of its own. */
function noiseNumber(pool: Pool, at: number, readings: number): PoolNumber {
  const { name, noise } = pool.meters[at]!;
  const { noiseLogSd } = pool.model;
  return {
    key: `meter ${name}: noise`,
    unit: "V",
    form: "law",
    reach: pool.meters.length === 1 && noiseLogSd > 0 ? "noise" : "walk",
    once: false,
    value: noise,
    casesPerWalk: 1,
    caseSd: Math.hypot(noiseLogSd, 1 / Math.sqrt(2 * readings)),
    set: (to, next) => ({
      ...to,
      meters: to.meters.map((meter, m) => (m === at ? { ...meter, noise: volts(next) } : meter)),
    }),
  };
}

/** How far two readings of the first meter are off about the ohms between them, on a path of none. */
function ohmsOff({ meters, supplies }: Pool): number {
  const { loadOhms, noise } = meters[0]!;
  return (Math.SQRT2 * noise * (loadOhms ?? UNIT_LOAD)) / supplies[0]!.emf;
}

/** One contact's ln ohms as a walk shows it: its own spread, and what the readings are off. */
const caseSdOf = (pool: Pool, { medianOhms, logSd }: LogNormal): number =>
  Math.hypot(logSd, ohmsOff(pool) / medianOhms);

const soundNumber = (pool: Pool, readings: number): PoolNumber => ({
  key: "contact.sound.median_ohms",
  unit: "ohm",
  form: "law",
  reach: "walk",
  once: false,
  value: pool.contact.sound.medianOhms,
  casesPerWalk: readings,
  caseSd: caseSdOf(pool, pool.contact.sound),
  set: (to, next) => ({
    ...to,
    contact: { ...to.contact, sound: { ...to.contact.sound, medianOhms: ohms(next) } },
  }),
});

const filmNumber = (pool: Pool, contacts: number): PoolNumber => ({
  key: "contact.fouled[0].median_ohms",
  unit: "ohm",
  form: "law",
  reach: "circuits",
  once: false,
  value: pool.contact.fouled[0]!.medianOhms,
  casesPerWalk: contacts,
  caseSd: caseSdOf(pool, pool.contact.fouled[0]!),
  set: (to, next) => ({
    ...to,
    contact: {
      ...to.contact,
      fouled: to.contact.fouled.map((part, i) =>
        i === 0 ? { ...part, medianOhms: ohms(next) } : part,
      ),
    },
  }),
});

/** Every number of a pool file that its own walks can speak about. */
export function poolNumbers(pool: Pool): readonly PoolNumber[] {
  const kinds = [...new Set(pool.connectors.map((connector) => connector.class))];
  const readings = pool.circuits.reduce((sum, { path }) => sum + path.length, 0);
  const fouledContacts = pool.connectors.reduce(
    (sum, { priors, circuits }) => sum + priors.fouled * circuits.length,
    0,
  );
  return [
    ...kinds.flatMap((kind) => [
      ...classNumber(pool, kind, "contaminated"),
      ...classNumber(pool, kind, "fouled"),
    ]),
    ...modelNumber("openPerFouled", "open_per_fouled", pool, fouledContacts),
    ...modelNumber("misread", "misread", pool, readings),
    ...modelNumber("blank", "blank", pool, readings),
    ...pool.meters.map((_, at) => noiseNumber(pool, at, readings)),
    soundNumber(pool, readings),
    filmNumber(pool, fouledContacts * pool.contact.fouled[0]!.share),
  ];
}
