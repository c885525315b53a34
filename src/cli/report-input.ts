import { circuitName } from "../domain/place.ts";
import type { SoundPoint } from "../report/charts/path-profile.ts";
import type { ReportInput } from "../report/html-report.ts";
import { seasonOf } from "../report/season.ts";
import { soundPath } from "../rooms/circuit-room.ts";
import type { Pool } from "../rooms/domain-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import type { DiagnosedWalk } from "../rooms/season-room.ts";
import type { SeasonFiles } from "./season-files.ts";

/** What sound paths would have shown to the meter and on the display of this walk. */
function soundPoints(pool: Pool, walk: DiagnosedWalk): readonly SoundPoint[] {
  const meter = pool.meters.find((one) => one.name === walk.readings[0]?.meter) ?? pool.meters[0];
  if (meter === undefined) return [];
  const step = Math.min(...walk.readings.map((one) => one.step));
  return pool.circuits.flatMap((circuit) =>
    soundPath(circuit, pool.contact.sound, meter, walk.diagnosis.emf, step).map((one) => ({
      ...circuitName(circuit),
      ...one,
    })),
  );
}

/** A season as the report takes it. */
export function reportInput(files: SeasonFiles, said: SeasonDecisions): ReportInput {
  const { pool, season } = files;
  const { diagnosis } = season.latest;
  return {
    pool,
    walk: diagnosis,
    readings: files.readings,
    rejects: files.rejects,
    sound: soundPoints(pool, season.latest),
    decisions: said.decisions,
    readAgain: said.readAgain,
    season: season.trend === null ? null : seasonOf(pool, season.trend, diagnosis.emf.median),
  };
}
