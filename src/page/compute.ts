import type { FromWorker, Question, ToWorker } from "./compute-worker.ts";
import { packedScript } from "./packed-script.ts";

export interface Computer {
  /** Asks about a walk; what comes of an older question is no longer told. */
  ask(question: Question): void;
}

/**
 * Starts the script that computes as a worker, so that a diagnosis never holds up a finger.
 * Where a browser refuses workers the page computes itself, a moment after the tap is answered.
 * One question is out at a time; of those that come meanwhile only the last is asked.
 */
export function startComputer(
  onPart: (message: Exclude<FromWorker, { part: "failed" }>) => void,
  onFailure: (why: string) => void,
): Computer {
  let turn = 0;
  let last: Question | null = null;
  let sent = 0;
  let busy = false;
  let worker: Worker | "refused" | null = null;
  const receive = (message: FromWorker): void => {
    if (message.turn === turn) {
      if (message.part === "failed") onFailure(message.why);
      else onPart(message);
    }
    if (message.part === "diagnosis") return;
    busy = false;
    sendSoon();
  };
  const refused = (): void => {
    [worker, busy, sent] = ["refused", false, 0];
    sendSoon();
  };
  const send = (): void => {
    if (busy || last === null || sent === turn) return;
    [busy, sent] = [true, turn];
    const question = { ...last, turn };
    void packedScript("compute").then((script) => {
      worker ??= startWorker(script, receive, refused);
      if (worker === "refused") here(script)(question, receive);
      else worker.postMessage(question);
    });
  };
  // The page is drawn first; the worker's start would only hold up its first field.
  const sendSoon = (): void => void setTimeout(send, 0);
  return {
    ask(question) {
      turn += 1;
      last = question;
      sendSoon();
    },
  };
}

type Answer = (question: ToWorker, tell: (message: FromWorker) => void) => void;

/** The same script in the page itself, where no worker runs it. */
function here(script: string): Answer {
  const page = globalThis as unknown as { dropwiseAnswer?: Answer };
  if (page.dropwiseAnswer === undefined) {
    const node = document.createElement("script");
    node.textContent = script;
    document.head.append(node);
  }
  if (page.dropwiseAnswer === undefined) throw new Error("this browser computes nothing");
  return page.dropwiseAnswer;
}

/** The worker, or `refused` where this browser starts none; `onRefused` where that shows later. */
function startWorker(
  script: string,
  receive: (message: FromWorker) => void,
  onRefused: () => void,
): Worker | "refused" {
  try {
    const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    const worker = new Worker(url);
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => receive(data);
    worker.onerror = (event) => {
      event.preventDefault();
      onRefused();
    };
    return worker;
  } catch {
    return "refused";
  }
}
