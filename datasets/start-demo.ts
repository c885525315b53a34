import { spawnSync } from "node:child_process";

/** `npm start`: the demo pool's latest walk. That something is weak there is no failure of the script. */
const { status } = spawnSync(
  process.execPath,
  ["--import", "tsx", "src/cli/main.ts", "check", "--pool", "datasets/kestrel-bay"],
  { stdio: "inherit" },
);
process.exitCode = status === 1 ? 0 : (status ?? 2);
