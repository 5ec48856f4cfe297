// Runs one request in the module and posts its answers, each as soon as it is there. The module has stdin, stdout and a clock.
"use strict";

const DONE = 0, BAD_FILE = 8, NOT_THERE = 52;

/** What the module asks of the machine it runs on: preview 1 of the WebAssembly System Interface, as far as it is used. */
function machine(request, said, memory) {
  const bytes = new TextEncoder().encode(request);
  const view = () => new DataView(memory().buffer);
  const part = (at, length) => new Uint8Array(memory().buffer, at, length);
  const parts = (list, count) => Array.from({ length: count }, (_, index) =>
    part(view().getUint32(list + 8 * index, true), view().getUint32(list + 8 * index + 4, true)));
  const nothing = (count, size) => {
    view().setUint32(count, 0, true);
    view().setUint32(size, 0, true);
    return DONE;
  };
  let read = 0;
  return {
    args_get: () => DONE,
    args_sizes_get: nothing,
    environ_get: () => DONE,
    environ_sizes_get: nothing,
    clock_time_get(_clock, _precision, at) {
      view().setBigUint64(at, BigInt(Math.round(1e6 * performance.now())), true);
      return DONE;
    },
    random_get(at, length) {
      part(at, length).fill(0);
      return DONE;
    },
    fd_read(file, list, count, at) {
      if (file !== 0) return BAD_FILE;
      let taken = 0;
      for (const into of parts(list, count)) {
        const some = bytes.subarray(read, read + into.length);
        into.set(some);
        read += some.length;
        taken += some.length;
      }
      view().setUint32(at, taken, true);
      return DONE;
    },
    fd_write(file, list, count, at) {
      let written = 0;
      for (const from of parts(list, count)) {
        said(file, from.slice());
        written += from.length;
      }
      view().setUint32(at, written, true);
      return DONE;
    },
    proc_exit(code) {
      throw new Error(`the module ended with ${code}`);
    },
  };
}

onmessage = async ({ data: { module, request, id } }) => {
  const decoder = new TextDecoder();
  let line = "", error = "", instance;
  const said = (file, bytes) => {
    if (file !== 1) {
      error += new TextDecoder().decode(bytes);
      return;
    }
    line += decoder.decode(bytes, { stream: true });
    for (let end = line.indexOf("\n"); end >= 0; end = line.indexOf("\n")) {
      postMessage({ id, reply: JSON.parse(line.slice(0, end)) });
      line = line.slice(end + 1);
    }
  };
  try {
    const functions = machine(request, said, () => instance.exports.memory);
    const imports = {};
    for (const { module: from, name } of WebAssembly.Module.imports(module)) {
      imports[from] ??= {};
      imports[from][name] = functions[name] ?? (() => NOT_THERE);
    }
    instance = await WebAssembly.instantiate(module, imports);
    instance.exports._start();
  } catch (caught) {
    if (!String(caught.message).endsWith("ended with 0")) error ||= String(caught.message);
  }
  postMessage({ id, ended: true, error });
};
