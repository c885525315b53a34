import { z } from "zod";
import { assumed, plainFigures } from "../../domain/assumed.ts";
import type { ModelTerms } from "../../domain/model-terms.ts";
import { closed, figure } from "../schema-words.ts";

/** The pool file's `model` section: the terms of the signal-path model, or the word plain. */

const terms = closed({
  misread: figure(assumed.misread),
  tails: figure(assumed.tails),
  noise_log_sd: figure(assumed.noiseLogSd),
  drift_sd: figure(assumed.driftSd),
  blank: figure(assumed.blank),
  blank_written: figure(assumed.blankWritten),
  blank_stays: figure(assumed.blankStays),
  open_per_fouled: figure(assumed.openPerFouled),
  cable_break: figure(assumed.cableBreak),
  intermittent: figure(assumed.intermittent, {
    default: false,
    suffix: "; left out, 0.005, and 0.02 at a pod or a stacked plug",
  }),
  bad_share: figure(assumed.badShare),
  bad_share_moved: figure(assumed.badShareMoved),
  stuck: figure(assumed.stuck),
  leaking: figure(assumed.leaking),
  wet_leak: figure(assumed.wetLeak),
});

const allowed = `the word plain, or a mapping with the keys ${Object.keys(terms.shape).join(", ")}`;

export const modelSchema = z.union([z.literal("plain"), terms], {
  error: allowed,
});

/** The section as parsed. */
export type ModelFile = z.output<typeof modelSchema>;

const plainTerms: ModelTerms = {
  plain: true,
  misread: plainFigures.misread,
  tails: 0,
  noiseLogSd: 0,
  driftSd: 0,
  blank: plainFigures.blank,
  blankWritten: 1,
  blankStays: 0,
  openPerFouled: assumed.openPerFouled.value,
  badShare: assumed.badShare.value,
  badShareMoved: assumed.badShareMoved.value,
  stuck: 0,
  leaking: 0,
  wetLeak: 0,
};

/** The section as the program's own words; `misread` is the first version's key at the top level. */
export function toModelTerms(model: ModelFile, misread: number | undefined): ModelTerms {
  if (model === "plain") return { ...plainTerms, misread: misread ?? plainTerms.misread };
  return {
    plain: false,
    misread: misread ?? model.misread,
    tails: model.tails,
    noiseLogSd: model.noise_log_sd,
    driftSd: model.drift_sd,
    blank: model.blank,
    blankWritten: model.blank_written,
    blankStays: model.blank_stays,
    openPerFouled: model.open_per_fouled,
    badShare: model.bad_share,
    badShareMoved: model.bad_share_moved,
    stuck: model.stuck,
    leaking: model.leaking,
    wetLeak: model.wet_leak,
  };
}
