import { assumedAs, chance } from "./assumed-figure.ts";

/**
 * What one contact does over time where no walk has shown it: growth, scatter, steps, what works do.
 * A class's growth and cure are then learnt from its walks, starting here.
 */
export const assumedAgeing = {
  notGrowing: chance("not_growing", 0.5, "chance that a contact does not grow at all"),
  notGrowingWorth: assumedAs(
    "not_growing_worth",
    "contacts",
    2,
    [0, 100],
    "contacts that the chance of no growth is worth beside those that are seen",
  ),
  shareRate: assumedAs(
    "share_rate",
    "ln ohm/week",
    0.1,
    [0, 10],
    "usual growth by a share of itself: from sound to fouled (0.2 to 60 ohm) in about a year",
  ),
  shareRateLogSd: assumedAs(
    "share_rate_log_sd",
    "",
    0.6,
    [0, 5],
    "standard deviation of ln of that, from one class to another",
  ),
  ohmRate: assumedAs(
    "ohm_rate",
    "ohm/week",
    0.8,
    [0, 1000],
    "usual growth by ohms: some 40 ohm in a year",
  ),
  ohmRateLogSd: assumedAs(
    "ohm_rate_log_sd",
    "",
    0.9,
    [0, 5],
    "standard deviation of ln of that, from one class to another",
  ),
  scatter: assumedAs(
    "scatter",
    "ln ohm",
    0.12,
    [0, 5],
    "standard deviation of a contact about its line, from walk to walk: a mated pair read again " +
      "is within some tenth",
  ),
  touched: chance("touched", 0.4, "chance that a step of the pool (a storm) touches a contact"),
  rise: assumedAs("rise", "ln ohm", 0.5, [0, 10], "mean rise of a contact that a step touches"),
  film: chance("film", 2 / 3, "chance that the trouble is film, not oxide, before any cleaning"),
  filmWorth: assumedAs(
    "film_worth",
    "cleanings",
    3,
    [0, 100],
    "cleanings that the chance of film is worth beside those that were scored",
  ),
  cure: chance("cure", 0.95, "chance that a cleaning brings film off"),
  staysCleaned: chance(
    "stays_cleaned",
    0.8,
    "chance that a contact that is open, or comes and goes, stays so when it is cleaned",
  ),
  staysReseated: chance("stays_reseated", 0.5, "the same when it is unplugged and plugged again"),
  heals: assumedAs("heals", "per week", 0.01, [0, 1], "chance that a fault goes away by itself"),
  priorWeeks: assumedAs(
    "prior_weeks",
    "weeks",
    26,
    [1, 520],
    "a contact of unknown history is one that was sound so long ago",
  ),
} as const;

/** Spread of ln growth among the contacts of a class: each of these as likely as the others. */
export const assumedSpreads = [0.2, 0.35, 0.55, 0.85] as const;
