/** How often the fit test speaks on walks of the model itself: `npm run study -- fit`. */
import { type WalkFit, walkFit } from "../../src/diagnosis/fit/walk-fit.ts";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { drawModelWalk, seededUniform } from "../diagnosis/fit/model-walks.ts";

const sizes = [
  [1, 1],
  [2, 2],
  [3, 3],
  [8, 3],
] as const;

/** Prints, by size of walk, the share of walks and circuits under the levels that count. */
export function fitStudy(walks: number, seed: number): void {
  for (const [lanes, devices] of sizes) {
    const shelf = emptyShelf(1000);
    const uniform = seededUniform(seed);
    const fits: WalkFit[] = [];
    for (let i = 0; i < walks; i++) {
      const walk = drawModelWalk(lanes, devices, uniform);
      fits.push(walkFit(walk, infer(walk, shelf).readings));
    }
    const share = (isSo: (fit: WalkFit) => boolean): string =>
      `${((100 * fits.filter(isSo).length) / fits.length).toFixed(1)} %`;
    const count = lanes * devices;
    console.log(
      `${count} circuits, ${walks} walks: p < 0.01 in ${share(({ p }) => p < 0.01)},`,
      `p < 0.1 in ${share(({ p }) => p < 0.1)}, p < 0.5 in ${share(({ p }) => p < 0.5)};`,
      `a circuit under 0.01 / ${count} in`,
      share(({ circuits }) => circuits.some(({ p }) => p < 0.01 / count)),
    );
  }
}
