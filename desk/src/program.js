// The program as the page sees it: arguments and files go in, what it says and what it wrote come out.

import commands from "./commands.json";
import workerText from "worker-text";

let compiled;
let worker;
let waiting = new Map();
let last = 0;

/** Has the program that lies in the page unpacked, beside whatever the page does meanwhile; resolves when it can run. */
export function prepare() {
  return new Promise((ready, failed) => {
    start();
    worker.onerror = (event) => failed(event.message);
    worker.onmessage = ({ data: { program, failed: why } }) => {
      if (why) return failed(why);
      compiled = program;
      listen();
      return ready();
    };
    worker.postMessage({ packed: document.getElementById("program").textContent });
  });
}

function start() {
  const address = URL.createObjectURL(new Blob([workerText], { type: "text/javascript" }));
  worker = new Worker(address);
  URL.revokeObjectURL(address);
}

function listen() {
  worker.onmessage = ({ data: { id, ...answer } }) => {
    const done = waiting.get(id);
    waiting.delete(id);
    // What crashed may have left anything behind: the next run gets a fresh one.
    if (answer.crashed) again(answer.crashed);
    done(answer);
  };
  worker.onerror = (event) => again(event.message || "no reason given");
}

function again(why) {
  worker.terminate();
  const lost = waiting;
  waiting = new Map();
  start();
  listen();
  worker.postMessage({ program: compiled });
  for (const done of lost.values()) done(why ? { crashed: why } : { stopped: true });
}

/** Ends whatever the program is doing. */
export function stop() {
  if (waiting.size) again();
}

/** Runs arguments on files; the answer has `status`, `stdout`, `stderr` and `files`, or `crashed`, or `stopped`. */
export function run(args, files = []) {
  const id = ++last;
  return new Promise((done) => {
    waiting.set(id, done);
    worker.postMessage({ id, args, files });
  });
}

/** The arguments of a command, its gaps filled. */
export function args(command, gaps = {}) {
  return commands[command].map((word) => word.replace(/\{(\w+)\}/g, (_, gap) => gaps[gap]));
}
