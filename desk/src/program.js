// The program as the page sees it: arguments and files go in, what it says and what it wrote come out.

import commands from "./commands.json";
import workerText from "worker-text";
import { XzReadableStream } from "xz-decompress";

let compiled;
let worker;
let waiting = new Map();
let last = 0;

/** Unpacks the program that lies in the page. */
export async function prepare() {
  const bytes = unpacked(document.getElementById("program").textContent);
  const stream = new XzReadableStream(new Blob([bytes]).stream());
  compiled = await WebAssembly.compile(await new Response(stream).arrayBuffer());
  start();
}

/** Bytes from letters of seven bits each. */
function unpacked(text) {
  const bytes = new Uint8Array(Math.floor((text.length * 7) / 8));
  let [held, bits, at] = [0, 0, 0];
  for (let n = 0; n < text.length; n += 1) {
    held = (held << 7) | (text.charCodeAt(n) & 127);
    bits += 7;
    if (bits >= 8) {
      bits -= 8;
      bytes[at] = held >> bits;
      at += 1;
      held &= (1 << bits) - 1;
    }
  }
  return bytes;
}

function start() {
  const address = URL.createObjectURL(new Blob([workerText], { type: "text/javascript" }));
  worker = new Worker(address);
  URL.revokeObjectURL(address);
  worker.onmessage = ({ data: { id, ...answer } }) => {
    const done = waiting.get(id);
    waiting.delete(id);
    // What crashed may have left anything behind: the next run gets a fresh one.
    if (answer.crashed) again(answer.crashed);
    done(answer);
  };
  worker.onerror = (event) => again(event.message || "no reason given");
  worker.postMessage({ program: compiled });
}

function again(why) {
  worker.terminate();
  const lost = waiting;
  waiting = new Map();
  start();
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
