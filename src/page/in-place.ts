/**
 * Changes to a screen that come when nobody asked: none moves what a finger is on. While something is
 * held down they wait; then what was touched last, or what is first in sight, stays where it is.
 */
export class InPlace {
  readonly #node: HTMLElement;
  readonly #waiting: (() => void)[] = [];
  #isHeld = false;

  constructor(node: HTMLElement) {
    this.#node = node;
    node.addEventListener("pointerdown", () => {
      this.#isHeld = true;
    });
    // What a press does comes right behind its end.
    const release = (): void => void setTimeout(() => this.#release(), 0);
    for (const end of ["pointerup", "pointercancel"]) addEventListener(end, release);
  }

  change(how: () => void): void {
    if (this.#isHeld) {
      this.#waiting.push(how);
      return;
    }
    const kept = this.#kept();
    const top = kept?.getBoundingClientRect().top ?? 0;
    how();
    if (kept?.isConnected) scrollBy(0, kept.getBoundingClientRect().top - top);
  }

  #release(): void {
    this.#isHeld = false;
    for (const how of this.#waiting.splice(0)) this.change(how);
  }

  #kept(): Element | undefined {
    const isInSight = (one: Element): boolean => {
      const { top, bottom } = one.getBoundingClientRect();
      return bottom > 0 && top < innerHeight;
    };
    const touched = document.activeElement;
    if (touched !== null && this.#node.contains(touched) && isInSight(touched)) return touched;
    return scrollY > 0 ? [...this.#node.children].find(isInSight) : undefined;
  }
}
