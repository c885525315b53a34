import type { Command } from "commander";

/** What a command may touch of the world outside: handed in, so that a test can watch it. */
export interface Io {
  /** Writes to standard output. */
  readonly out: (text: string) => void;
  /** Writes to standard error. */
  readonly err: (text: string) => void;
  /** Colour is wanted: standard output is a terminal and NO_COLOR is not set. */
  readonly colour: boolean;
  /** Progress is wanted: standard error is a terminal. */
  readonly progress: boolean;
  /** Sets the exit status: 0 all well, 1 something is weak, 2 input that could not be used. */
  readonly exit: (status: 0 | 1 | 2) => void;
}

/** Adds one subcommand to the program. Each file of this folder that is a command exports one. */
export type Register = (program: Command, io: Io) => void;

/** Input that could not be used: its message is the one clear sentence that the user reads. */
export class UnusableInput extends Error {}
