export * from "../distributions/beta.ts";
