import { readFileSync } from "node:fs";
import type { Plugin } from "esbuild";

/**
 * The validation library, imported by name where data comes in, brings its messages in forty languages;
 * taken as a whole namespace instead, the bundler sees which parts are used and drops the rest.
 */
export const wholeZod: Plugin = {
  name: "whole-zod",
  setup(to) {
    to.onLoad({ filter: /[\\/]src[\\/]intake[\\/].*\.ts$/ }, ({ path }) => ({
      loader: "ts",
      contents: readFileSync(path, "utf8").replace(
        /^import \{ z \} from (?="zod";)/m,
        "import * as z from ",
      ),
    }));
  },
};
