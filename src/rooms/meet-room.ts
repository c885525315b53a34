/**
 * `dropwise/meet`: the deck day: round, touches, pads, readiness, the bag.
 *
 * Source: src/MODEL.md for what readings say; common practice for the deck.
 */
export type * from "../meet/bag.ts";
export { type DeviceState, deviceState, type Reason } from "../meet/device-state.ts";
export type { LaneReady } from "../meet/lane-ready.ts";
export type { Look } from "../meet/latest-look.ts";
export { type PadsDue, padsDue } from "../meet/pads-due.ts";
export { pressedDevices } from "../meet/pressed-devices.ts";
export { type MeetInput, type MeetReady, meetReady } from "../meet/ready.ts";
export { planRound, type Round } from "../meet/round.ts";
export { touchBlame } from "../meet/touch-blame.ts";
export { touchProof } from "../meet/touch-proof.ts";
export { touchRate } from "../meet/touch-rate.ts";
