import { assumed } from "../domain/assumed.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import type { App } from "./app.ts";
import { button, h, refill } from "./element.ts";
import { decimalMark } from "./numbers.ts";
import { type PoolForm, poolText } from "./pool-text.ts";
import { fileText, newFile } from "./record.ts";
import type { Screen } from "./screen.ts";

interface Field {
  readonly key: keyof PoolForm;
  readonly label: string;
  readonly help: string;
  readonly value: string;
  readonly inputmode: string;
}

const field = (
  key: keyof PoolForm,
  label: string,
  value: string,
  help = "",
  inputmode = "text",
): Field => ({ key, label, help, value, inputmode });

const fields: readonly Field[] = [
  field("name", "Name of the pool", ""),
  field("lanes", "Lanes", "8", "How many, a range such as 0-9, or their names between commas."),
  field("devices", "Devices of a lane", "touchpad", "Names between commas, the usual one first."),
  field("meter", "Meter", "deck", "What you call it."),
  field(
    "load",
    "Load of the meter",
    "unknown",
    "Ohms that the meter puts across the path, as you measured them. A meter that draws no current sees no contact resistance.",
  ),
  field(
    "offFrom",
    "Switches itself off after, earliest",
    "",
    "Seconds; blank where you never timed it.",
    "decimal",
  ),
  field("offTo", "Switches itself off after, latest", "", "Seconds.", "decimal"),
  field(
    "limit",
    "Your limit at the last point",
    String(assumed.limitVolts.value).replace(".", decimalMark),
    "Volts under which you call a path weak.",
    "decimal",
  ),
];

/** Set-up: which pool is in hand, a new one by form, the file itself for everything else. */
export class PoolScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #inputs = new Map<keyof PoolForm, HTMLInputElement>();
  readonly #wrong = h("div", { class: "wrong", role: "alert" });
  readonly #textWrong = h("div", { class: "wrong", role: "alert" });
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #list = h("div", { class: "stack" });
  readonly #title = h("h2", {}, "Set up a pool");
  readonly #text = h("textarea", {
    id: "pool-text",
    name: "pool-text",
    rows: "14",
    spellcheck: "false",
    autocapitalize: "off",
  });
  readonly #current = h("div", {});
  readonly #form: HTMLElement;
  readonly #fresh: HTMLDetailsElement;
  #textOf = "";

  constructor(app: App) {
    this.#app = app;
    this.#form = this.#buildForm();
    this.#fresh = h("details", { class: "fresh" }, h("summary", {}, "Set up another pool"));
    const textForm = h(
      "details",
      {},
      h("summary", {}, "The pool file itself: path, wires, chances, costs"),
      h("label", { for: "pool-text" }, "pool.yaml"),
      this.#text,
      this.#textWrong,
      button("Keep this pool file", () => void this.#keepText()),
    );
    this.#current.append(textForm);
    this.node = h(
      "section",
      { "aria-labelledby": "pool-title" },
      h("h1", { id: "pool-title", tabindex: "-1" }, "Pool"),
      this.#list,
      this.#said,
      this.#current,
      this.#title,
      this.#form,
      this.#fresh,
    );
  }

  #buildForm(): HTMLElement {
    const rows = fields.map((one) => {
      const help = one.help === "" ? null : `help-${one.key}`;
      const input = h("input", {
        id: `pool-${one.key}`,
        name: one.key,
        type: "text",
        inputmode: one.inputmode,
        value: one.value,
        autocomplete: "off",
        "aria-describedby": help,
      });
      this.#inputs.set(one.key, input);
      return h(
        "div",
        { class: "field" },
        h("label", { for: input.id }, one.label),
        input,
        help !== null && h("p", { class: "small", id: help }, one.help),
      );
    });
    return h(
      "form",
      {
        novalidate: true,
        on: {
          submit: (event: Event) => {
            event.preventDefault();
            void this.#create();
          },
        },
      },
      h("p", { class: "small" }, "There is a pool.yaml already? Bring it in under Files."),
      ...rows,
      this.#wrong,
      h("button", { type: "submit", class: "main" }, "Set up and start the walk"),
    );
  }

  show(): void {
    if (this.#app.pools.length === 0) this.#inputs.get("name")?.focus({ preventScroll: true });
  }

  update(): void {
    const { pools, record } = this.#app;
    const none = pools.length === 0;
    this.#title.hidden = !none;
    this.#current.hidden = record === null;
    this.#fresh.hidden = none;
    if (none) this.#title.after(this.#form);
    else if (this.#form.parentElement !== this.#fresh) this.#fresh.append(this.#form);
    this.#fillList();
    const text = record === null ? "" : fileText(record.pool);
    if (text !== this.#textOf) this.#text.value = text;
    this.#textOf = text;
  }

  #fillList(): void {
    const { pools, record } = this.#app;
    refill(
      this.#list,
      ...pools.map((one) =>
        button(
          one.id === record?.id ? `${one.name} (in hand)` : one.name,
          () => this.#open(one.id),
          {
            "aria-pressed": one.id === record?.id ? "true" : "false",
          },
        ),
      ),
      record !== null &&
        h(
          "details",
          {},
          h("summary", {}, `Remove ${record.name} from this phone`),
          h("p", {}, "Its files go from this browser for good. Export them first."),
          button(`Remove ${record.name} now`, () => void this.#app.removePool(), {
            class: "danger",
          }),
        ),
    );
  }

  #open(id: string): void {
    this.#app.openPool(id);
    this.#app.go("walk");
  }

  async #create(): Promise<void> {
    const value = (key: keyof PoolForm): string => this.#inputs.get(key)?.value ?? "";
    const form = Object.fromEntries(fields.map(({ key }) => [key, value(key)]));
    const text = poolText(form as unknown as PoolForm);
    const result = readPool(text, "pool.yaml");
    if (!result.ok) return this.#show(this.#wrong, result.error);
    if (this.#app.pools.some((one) => one.name === result.value.name)) {
      refill(this.#wrong, h("p", {}, "There is a pool of this name already."));
      return;
    }
    refill(this.#wrong);
    await this.#app.addPool(result.value.name, newFile("pool.yaml", text));
    for (const { key, value } of fields) this.#inputs.get(key)!.value = value;
    this.#app.go("walk");
  }

  async #keepText(): Promise<void> {
    const { record } = this.#app;
    const text = this.#text.value;
    if (record === null) return;
    const result = readPool(text, record.pool.name);
    if (!result.ok) return this.#show(this.#textWrong, result.error);
    refill(this.#textWrong);
    const { name } = result.value;
    await this.#app.changeFiles((now) => ({ ...now, name, pool: newFile(now.pool.name, text) }));
    refill(this.#said, "The pool file is kept.");
  }

  #show(
    where: HTMLElement,
    faults: readonly { readonly place: string; readonly message: string }[],
  ): void {
    refill(where, ...faults.map(({ place, message }) => h("p", {}, `${place}: ${message}`)));
  }
}
