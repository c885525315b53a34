/**
 * Has a worker of its own do one task; the worker goes when it is done. `hear` is given each message,
 * and settles the task by `done` or `fail`.
 */
export async function workerTask<Message, Answer>(
  script: string,
  question: unknown,
  hear: (message: Message, done: (answer: Answer) => void, fail: (why: Error) => void) => void,
): Promise<Answer> {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const worker = new Worker(url);
  return new Promise<Answer>((done, fail) => {
    worker.onmessage = ({ data }: MessageEvent<Message>) => hear(data, done, fail);
    worker.onerror = (event) => fail(new Error(event.message || "this browser starts no worker"));
    worker.postMessage(question);
  }).finally(() => {
    worker.terminate();
    URL.revokeObjectURL(url);
  });
}
