/**
 * `dropwise/report`: answers in words, charts as specifications and drawn, and the memo's text.
 *
 * Source: the project's own words; it computes no physics and no probability.
 */
export { contactHistory } from "../report/charts/contact-history.ts";
export { laneMap } from "../report/charts/lane-map.ts";
export { pathProfile } from "../report/charts/path-profile.ts";
export { renderSvg } from "../report/charts/render-svg.ts";
export { suspects } from "../report/charts/suspects.ts";
export type { Chart, ChartSpec } from "../report/charts/theme.ts";
export { checkText } from "../report/check-text.ts";
export { decisionWords } from "../report/decision-words.ts";
export { memoDocument } from "../report/memo.ts";
export type { MemoInput } from "../report/memo-input.ts";
export { circuitText, connectorName } from "../report/names.ts";
export { contactSeries } from "../report/season.ts";
export { trendText } from "../report/trend-text.ts";
export { writeMarkdown } from "../report/write-markdown.ts";
export type { Language } from "../words/language.ts";
