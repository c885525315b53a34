import { parentPort, workerData } from "node:worker_threads";
import { answers, type SeasonShare } from "./season-share.ts";

/** A thread of a long season. */
for (const answer of answers(workerData as SeasonShare)) parentPort?.postMessage(answer);
