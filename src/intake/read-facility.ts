import type { Facility } from "../domain/facility.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import { type FacilityFile, facilitySchema } from "./facility-schema.ts";
import { parseYaml } from "./parse-yaml.ts";
import { schemaFaults } from "./schema-faults.ts";

/** How faults name this file. */
const facilityFile = { name: "facility file", least: "at least one key, such as facility" };

/** The file's words to the domain's. */
const toFacility = (file: FacilityFile): Facility => ({
  name: file.facility ?? null,
  letterhead: file.letterhead,
  to: file.to ?? null,
  from: file.from ?? null,
  date: file.date ?? null,
  subject: file.subject ?? null,
  reference: file.reference ?? null,
  currency: file.currency ?? null,
  fund: file.fund ?? null,
  decisionNeededBy: file.decision_needed_by ?? null,
  schedule: file.schedule.map(({ what, when }) => ({ what, when: when ?? null })),
  risks: file.risks,
  paper: file.paper,
});

/** Reads a facility file, YAML or JSON. All faults are collected; nothing throws. */
export function readFacility(text: string, file: string): Result<Facility, readonly InputFault[]> {
  const plain = parseYaml(text, file, facilityFile);
  if (!plain.ok) return plain;
  const parsed = facilitySchema.safeParse(plain.value, { reportInput: true });
  return parsed.success ? ok(toFacility(parsed.data)) : fault(schemaFaults(parsed.error, file));
}
