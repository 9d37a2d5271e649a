// Runs the program on files in memory, with the arguments of its command line. Each run is a new instance:
// nothing is left over from the one before.

import { WASI, File, Directory, OpenFile, PreopenDirectory } from "@bjorn3/browser_wasi_shim";

let program;

self.onmessage = async ({ data }) => {
  if (data.program) {
    program = data.program;
    return;
  }
  const { id, args, files } = data;
  try {
    self.postMessage({ id, ...(await run(args, files)) });
  } catch (error) {
    self.postMessage({ id, crashed: String(error) });
  }
};

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
