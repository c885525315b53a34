import { assumed } from "../domain/assumed.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import type { App } from "./app.ts";
import { button, h, refill } from "./element.ts";
import { blindMeters, meterKinds } from "./meter-form.ts";
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
  field("load", "Load of the meter", "", "Ohms.", "decimal"),
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
  readonly #welcome = welcome(() => this.#sample());
  readonly #kind = h(
    "select",
    { id: "pool-kind", name: "kind", on: { change: () => this.#fitKind() } },
    ...meterKinds.map(({ id, label }) => h("option", { value: id }, label)),
  );
  readonly #kindHelp = h("p", { class: "small", id: "help-kind" });
  /** A meter that would see nothing, and that is to be used all the same. */
  #blindTaken = "";
  #creating = false;
  readonly #title = h("h2", {}, "Set up your pool");
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
  #listOf = "";
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
      button("Keep this pool file", () => this.#keepText()),
    );
    this.#current.append(textForm);
    this.node = h(
      "section",
      { "aria-labelledby": "pool-title" },
      h("h1", { id: "pool-title", tabindex: "-1" }, "Pool"),
      this.#welcome,
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
        ...(one.key === "load" ? this.#kindField() : []),
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
            void this.#createOnce();
          },
        },
      },
      h("p", { class: "small" }, "There is a pool.yaml already? Bring it in under Files."),
      ...rows,
      this.#wrong,
      h("button", { type: "submit", class: "main" }, "Set up and start the walk"),
    );
  }

  #kindField(): readonly HTMLElement[] {
    this.#kind.setAttribute("aria-describedby", "help-kind");
    return [
      h("label", { for: "pool-kind" }, "What kind of meter is it?"),
      this.#kind,
      this.#kindHelp,
    ];
  }

  /** Says where this kind's load is found, and fills it in where the kind alone tells it. */
  #fitKind(): void {
    const kind = meterKinds.find(({ id }) => id === this.#kind.value);
    const load = this.#inputs.get("load");
    if (kind === undefined || load === undefined) return;
    refill(this.#kindHelp, kind.help);
    load.value = kind.load ?? "";
    load.readOnly = kind.load !== null;
  }

  async #sample(): Promise<void> {
    await this.#app.addSample();
    this.#app.go("walk");
  }

  show(): void {
    if (this.#kindHelp.textContent === "") this.#fitKind();
  }

  update(): void {
    const { pools, record } = this.#app;
    const none = pools.length === 0;
    this.#title.hidden = !none;
    this.#welcome.hidden = !none;
    this.#current.hidden = record === null;
    this.#fresh.hidden = none;
    if (none) this.#title.after(this.#form);
    else if (this.#form.parentElement !== this.#fresh) this.#fresh.append(this.#form);
    this.#fillList();
    const text = record === null ? "" : fileText(record.pool);
    if (text !== this.#textOf) this.#text.value = text;
    this.#textOf = text;
  }

  /** Filled anew only for what is new: what somebody opened stays open. */
  #fillList(): void {
    const { pools, record } = this.#app;
    const key = JSON.stringify([pools.map(({ id, name }) => [id, name]), record?.id, record?.name]);
    if (key === this.#listOf) return;
    this.#listOf = key;
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
          button(`Remove ${record.name} now`, () => this.#app.removePool(), {
            class: "danger",
          }),
        ),
    );
  }

  #open(id: string): void {
    this.#app.openPool(id);
    this.#app.go("walk");
  }

  /** Sent once more while it is being stored, the form makes no second pool. */
  async #createOnce(): Promise<void> {
    if (this.#creating) return;
    this.#creating = true;
    try {
      await this.#create();
    } finally {
      this.#creating = false;
    }
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
    const blind = blindMeters(result.value);
    if (blind.length > 0 && this.#blindTaken !== text) return this.#stopBlind(text);
    refill(this.#wrong);
    await this.#app.addPool(result.value.name, newFile("pool.yaml", text));
    for (const { key, value } of fields) this.#inputs.get(key)!.value = value;
    this.#app.go("walk");
  }

  /** Before the walk, not after it: with this meter no reading could clear a path. */
  #stopBlind(text: string): void {
    const goOn = (): Promise<void> => {
      this.#blindTaken = text;
      return this.#createOnce();
    };
    refill(
      this.#wrong,
      h(
        "p",
        {},
        "This meter draws too little current to show a bad connector: every path would read full volts. Put a resistor of 1000 ohms across its leads, and choose “A multimeter with a resistor”.",
      ),
      button("Set up with this meter all the same", goOn),
    );
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

/** What this is for, in five seconds, and a way to look around before anything is set up. */
const welcome = (trySample: () => Promise<void>): HTMLElement =>
  h(
    "div",
    { class: "welcome" },
    h("p", { class: "slogan" }, "Which connector is bad?"),
    h(
      "p",
      {},
      "Read the volts along your pool’s timing path with a meter and type them in. The page says where to read next, which connector is at fault, and whether the cure has worked.",
    ),
    h("p", { class: "small" }, "It works without a network. What you enter stays on this phone."),
    h(
      "div",
      { class: "row" },
      button("Look around in a sample pool", trySample, { class: "main" }),
    ),
  );
