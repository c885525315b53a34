import type { Place } from "../domain/place.ts";

/** A connector's place as every answer in JSON names it. */
export const placeJson = ({
  connector,
  point,
  lane,
  lanes,
  device,
  end,
}: Place & { readonly connector: string }) => ({ connector, point, lane, lanes, device, end });
