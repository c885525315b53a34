import { spawn } from "node:child_process";
import { createHmac, randomUUID } from "node:crypto";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { type AddressInfo, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { Dealer, Subscriber } from "zeromq";

/**
 * A small client of the Jupyter messaging protocol (version 5.3, jupyter-client.readthedocs.io,
 * "Messaging in Jupyter"): starts the Deno kernel, runs cells of TypeScript in it, hands back what
 * they put out. Nothing of Jupyter itself is needed.
 */

/** One output of a cell, in the notebook format's own words. */
export interface Output {
  readonly output_type: "stream" | "display_data" | "execute_result" | "error";
  readonly [key: string]: unknown;
}

const outputTypes = new Set(["stream", "display_data", "execute_result", "error"]);

/** An output that shows nothing: of code whose last expression is undefined. */
export const isEmpty = (one: Output): boolean =>
  (one.output_type === "display_data" || one.output_type === "execute_result") &&
  Object.keys((one["data"] as object | undefined) ?? {}).length === 0;

interface Message {
  readonly header: { readonly msg_id: string; readonly msg_type: string };
  readonly parent: { readonly msg_id?: string };
  readonly content: Readonly<Record<string, unknown>>;
}

/** A kernel that hangs is an error after this long; tests allow more [ms]. */
const patience = 120_000;
const delimiter = "<IDS|MSG>";

function freePort(): Promise<number> {
  return new Promise((resolvePort) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address() as AddressInfo;
      server.close(() => resolvePort(port));
    });
  });
}

async function receive(socket: Dealer | Subscriber): Promise<Message> {
  const frames = (await socket.receive()).map(String);
  const at = frames.indexOf(delimiter);
  const part = (offset: number) => JSON.parse(frames[at + offset] ?? "{}");
  return { header: part(2), parent: part(3), content: part(5) };
}

/** A running kernel. */
export class Kernel {
  readonly #shell: Dealer;
  readonly #iopub: Subscriber;
  readonly #key: string;
  readonly #session: string;
  readonly #stop: () => void;

  private constructor(
    shell: Dealer,
    iopub: Subscriber,
    key: string,
    session: string,
    stop: () => void,
  ) {
    this.#shell = shell;
    this.#iopub = iopub;
    this.#key = key;
    this.#session = session;
    this.#stop = stop;
  }

  /** Starts a kernel whose working directory is `folder`. */
  static async start(folder: string): Promise<Kernel> {
    const [shellPort, iopubPort, stdin, control, heartbeat] = await Promise.all(
      Array.from({ length: 5 }, freePort),
    );
    const key = randomUUID();
    const home = mkdtempSync(join(tmpdir(), "dropwise-kernel-"));
    const connection = join(home, "connection.json");
    writeFileSync(
      connection,
      JSON.stringify({
        ip: "127.0.0.1",
        transport: "tcp",
        signature_scheme: "hmac-sha256",
        key,
        kernel_name: "deno",
        shell_port: shellPort,
        iopub_port: iopubPort,
        stdin_port: stdin,
        control_port: control,
        hb_port: heartbeat,
      }),
    );
    const deno = resolve("node_modules/deno/bin.cjs");
    const child = spawn(process.execPath, [deno, "jupyter", "--kernel", "--conn", connection], {
      cwd: folder,
      stdio: "ignore",
      detached: true,
      env: { ...process.env, NO_COLOR: "1", DENO_NO_UPDATE_CHECK: "1" },
    });
    const stop = () => {
      try {
        if (child.pid !== undefined) process.kill(-child.pid, "SIGKILL");
      } catch {
        // It has ended by itself; that is all that was wanted.
      }
      rmSync(home, { recursive: true, force: true });
    };
    const session = randomUUID();
    const shell = new Dealer({ routingId: session, receiveTimeout: patience });
    const iopub = new Subscriber({ receiveTimeout: patience });
    shell.connect(`tcp://127.0.0.1:${shellPort}`);
    iopub.connect(`tcp://127.0.0.1:${iopubPort}`);
    iopub.subscribe();
    const kernel = new Kernel(shell, iopub, key, session, stop);
    try {
      await kernel.#ready();
    } catch (error) {
      kernel.close();
      throw error;
    }
    return kernel;
  }

  /** Subscriptions start late: asks until a broadcast arrives, or the first output would be lost. */
  async #ready(): Promise<void> {
    let heard = false;
    const first = receive(this.#iopub).then(() => {
      heard = true;
    });
    first.catch(() => {});
    while (!heard) {
      await this.#send("kernel_info_request", {});
      await receive(this.#shell);
      await new Promise((done) => setTimeout(done, 20));
    }
  }

  async #send(type: string, content: object): Promise<string> {
    const header = {
      msg_id: randomUUID(),
      session: this.#session,
      username: "",
      date: new Date().toISOString(),
      msg_type: type,
      version: "5.3",
    };
    const parts = [header, {}, {}, content].map((part) => JSON.stringify(part));
    const signature = createHmac("sha256", this.#key);
    for (const part of parts) signature.update(part);
    await this.#shell.send([delimiter, signature.digest("hex"), ...parts]);
    return header.msg_id;
  }

  /** Runs one cell and returns what it put out, in order; an exception is an `error` output. */
  async run(code: string): Promise<readonly Output[]> {
    const outputs = await this.#execute(code, null);
    // What a cell prints and shows travels by ways of its own and may arrive after the cell is done.
    // So a mark is printed behind it: what comes before the mark is the cell's.
    const mark = randomUUID();
    let seen = "";
    const late = await this.#execute(`console.log("${mark}")`, (output) => {
      seen += String(output["text"] ?? "");
      return seen.includes(mark);
    });
    const printed = seen.split(mark)[0] ?? "";
    const shown = late.filter((one) => one.output_type !== "stream" && !isEmpty(one));
    const streams: Output[] =
      printed === "" ? [] : [{ output_type: "stream", name: "stdout", text: printed }];
    return [...outputs, ...streams, ...shown];
  }

  /** Runs code and gathers what arrives until the kernel is idle again and `enough` is true. */
  async #execute(code: string, enough: ((output: Output) => boolean) | null): Promise<Output[]> {
    const id = await this.#send("execute_request", {
      code,
      silent: false,
      store_history: true,
      user_expressions: {},
      allow_stdin: false,
      stop_on_error: true,
    });
    const outputs: Output[] = [];
    let idle = false;
    let done = enough === null;
    while (!idle || !done) {
      const { header, parent, content } = await receive(this.#iopub);
      if (header.msg_type === "status" && parent.msg_id === id)
        idle ||= content["execution_state"] === "idle";
      if (!outputTypes.has(header.msg_type)) continue;
      const output = { output_type: header.msg_type as Output["output_type"], ...content };
      outputs.push(output);
      done ||= enough?.(output) ?? true;
    }
    await receive(this.#shell);
    return outputs;
  }

  /** Ends the kernel. */
  close(): void {
    this.#shell.close();
    this.#iopub.close();
    this.#stop();
  }
}
