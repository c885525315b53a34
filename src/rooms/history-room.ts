/**
 * `dropwise/history`: walks over time: growth, forecasts, cleanings.
 *
 * Source: src/MODEL.md, from walk to walk.
 */
export type * from "../history/cleaning-record.ts";
export { cleaningRecord } from "../history/cleaning-record.ts";
export { contactHistories, type DatedWalk } from "../history/contact-history.ts";
export type { BeliefPoint, ContactBelief, OutlookPoint } from "../history/contact-line.ts";
export type { GrowthLaw } from "../history/growth-law.ts";
export { limitOhms } from "../history/limit-ohms.ts";
export { type CircuitTrend, type ContactTrend, type PoolTrend, trend } from "../history/trend.ts";
