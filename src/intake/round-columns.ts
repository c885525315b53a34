/**
 * Columns that the round's sheet carries for whoever walks, beside those of readings.csv: the
 * window of the meter, the range of a first reading, and the drop from it that would matter [V]. The
 * reader of sheets passes over them.
 */
export const roundColumns = ["window", "expect_low", "expect_high", "most_drop"] as const;
