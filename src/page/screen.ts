/** One of the page's screens: built once, brought up to date after every change. */
export interface Screen {
  readonly node: HTMLElement;
  /** Brings what is shown up to date, and leaves what the user is typing alone. */
  update(): void;
  /** It has just come on. */
  show?(): void;
}
