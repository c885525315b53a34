/** The code of no currency, by ISO 4217: it prints as none. */
export const NO_CURRENCY = "XXX";

/** The currency that a pool's prices are in. */
export const currencyOf = ({ costs }: { readonly costs?: { readonly currency: string } }): string =>
  costs?.currency ?? NO_CURRENCY;
