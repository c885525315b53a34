import { readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { packageFolder } from "./licence-notices.ts";

/** What the lock file says of an installed package. */
interface Locked {
  readonly integrity?: string;
}

/** One package by the CycloneDX specification, 1.5: the fields that `npm sbom` writes too. */
function component(folder: string, locked: Readonly<Record<string, Locked>>) {
  const about = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as {
    name: string;
    version: string;
    license: string;
  };
  const { name, version, license } = about;
  const at = relative(".", folder).replaceAll("\\", "/");
  const hash = locked[at]?.integrity?.replace(/^sha512-/, "");
  return {
    "bom-ref": `${name}@${version}`,
    type: "library",
    name,
    version,
    scope: "required",
    purl: `pkg:npm/${name.replace("@", "%40")}@${version}`,
    hashes:
      hash === undefined
        ? []
        : [{ alg: "SHA-512", content: Buffer.from(hash, "base64").toString("hex") }],
    // A name where it is none of SPDX's short ones.
    licenses: [{ license: /^SEE /.test(license) ? { name: license } : { id: license } }],
  };
}

/**
 * The bill of materials (CycloneDX 1.5, JSON): every package whose code is carried along, or is
 * installed beside it, with version, licence and the hash of the archive that it came in. It has no
 * date and no number of its own: the same packages give the same text.
 *
 * @param files files of the packages, at least one of each
 */
export function billOfMaterials(files: readonly string[]): string {
  const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };
  const { packages } = JSON.parse(readFileSync("package-lock.json", "utf8")) as {
    packages: Readonly<Record<string, Locked>>;
  };
  const folders = new Set(
    files.map((file) => packageFolder(file)).filter((folder) => folder !== null),
  );
  // A package that is installed twice in one version is one.
  const all = new Map(
    [...folders].map((folder) => {
      const one = component(folder, packages);
      return [one["bom-ref"], one] as const;
    }),
  );
  const own = { "bom-ref": `dropwise@${version}`, type: "library", name: "dropwise", version };
  const bill = {
    bomFormat: "CycloneDX",
    specVersion: "1.5",
    version: 1,
    metadata: { component: { ...own, purl: `pkg:npm/dropwise@${version}` } },
    components: [...all.values()].toSorted((a, b) => (a["bom-ref"] < b["bom-ref"] ? -1 : 1)),
  };
  return `${JSON.stringify(bill, null, 2)}\n`;
}
