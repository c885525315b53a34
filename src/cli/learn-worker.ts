import { parentPort, workerData } from "node:worker_threads";
import type { Pool } from "../rooms/domain-room.ts";
import { type LearningShare, tableWalks } from "./learn-share.ts";

/** A thread that lays tables of its walks by each pool that it is sent. */
const { pool, walks } = workerData as LearningShare;
const tabled = tableWalks(pool, walks);
parentPort?.on("message", (by: Pool) => {
  parentPort?.postMessage(tabled.map((table) => table(by)));
});
