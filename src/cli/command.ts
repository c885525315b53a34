import type { Command } from "commander";
import type { Keeper } from "../rooms/season-room.ts";
import type { Language } from "../words/language.ts";

/** What a command may touch of the world outside: handed in, so that a test can watch it. */
export interface Io {
  /** Writes to standard output. */
  readonly out: (text: string) => void;
  /** Writes to standard error. */
  readonly err: (text: string) => void;
  /** Writes to standard error what is worth knowing but changes nothing: --quiet leaves it out. */
  readonly note: (text: string) => void;
  /** Colour is wanted: by the terminal and by NO_COLOR, FORCE_COLOR and TERM. */
  readonly colour: boolean;
  /** The language that the answer is told in. */
  readonly language: Language;
  /** Progress is wanted: standard error is a terminal that can clear a line. */
  readonly progress: boolean;
  /** Holds what earlier runs have found. */
  readonly keeper: Keeper;
  /** Sets the exit status: 0 all well, 1 something is weak, 2 input that could not be used. */
  readonly exit: (status: 0 | 1 | 2) => void;
}

/** Adds one subcommand to the program. Each file of this folder that is a command exports one. */
export type Register = (program: Command, io: Io) => void;

/** Input that could not be used: its message is the one clear sentence that the user reads. */
export class UnusableInput extends Error {}
