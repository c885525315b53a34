/**
 * Columns that the round's sheet carries for whoever walks, beside those of readings.csv: the
 * window of the meter, and the values to expect [V]. The reader of sheets passes over them.
 */
export const roundColumns = ["window", "expect_low", "expect_high"] as const;
