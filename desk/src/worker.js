// Unpacks the program, and runs it on files in memory, with the arguments of its command line. Each run is a new
// instance: nothing is left over from the one before.

import { WASI, File, Directory, OpenFile, PreopenDirectory } from "@bjorn3/browser_wasi_shim";
import { XzReadableStream } from "xz-decompress";

let program;

self.onmessage = async ({ data }) => {
  if (data.program) {
    program = data.program;
    return;
  }
  if (data.packed) {
    await unpack(data.packed);
    return;
  }
  const { id, args, files } = data;
  try {
    self.postMessage({ id, ...(await run(args, files)) });
  } catch (error) {
    self.postMessage({ id, crashed: String(error) });
  }
};

/** Unpacks the program that lies in the page, and hands it to the page as well: another worker need not do it again. */
async function unpack(packed) {
  try {
    const stream = new XzReadableStream(new Blob([bytes(packed)]).stream());
    program = await WebAssembly.compile(await new Response(stream).arrayBuffer());
    self.postMessage({ program });
  } catch (error) {
    self.postMessage({ failed: String(error) });
  }
}

/** Bytes from letters of seven bits each. */
function bytes(text) {
  const all = new Uint8Array(Math.floor((text.length * 7) / 8));
  let [held, bits, at] = [0, 0, 0];
  for (let n = 0; n < text.length; n += 1) {
    held = (held << 7) | (text.charCodeAt(n) & 127);
    bits += 7;
    if (bits >= 8) {
      bits -= 8;
      all[at] = held >> bits;
      at += 1;
      held &= (1 << bits) - 1;
    }
  }
  return all;
}

async function run(args, files) {
  const folder = new PreopenDirectory(".", new Map(files.map(([name, bytes]) => [name, new File(bytes)])));
  const [stdin, stdout, stderr] = [0, 1, 2].map(() => new OpenFile(new File([])));
  const wasi = new WASI(["lidcard", ...args], [], [stdin, stdout, stderr, folder], { debug: false });
  const instance = await WebAssembly.instantiate(program, { wasi_snapshot_preview1: wasi.wasiImport });
  const status = wasi.start(instance);
  const text = (file) => new TextDecoder().decode(file.file.data);
  const before = new Map(files);
  const made = all(folder.dir).filter(([name, bytes]) => !same(before.get(name), bytes));
  return { status, stdout: text(stdout), stderr: text(stderr), files: made };
}

function all(folder, path = "") {
  return [...folder.contents].flatMap(([name, entry]) =>
    entry instanceof Directory ? all(entry, `${path}${name}/`) : [[path + name, entry.data]],
  );
}

function same(one, other) {
  return one && one.length === other.length && one.every((byte, at) => byte === other[at]);
}
