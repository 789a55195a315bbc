/**
 * Unpacks blocks of FLAC as the page's Worker does.
 *
 * stdin: [{"head", "packed": base 64, "frames", "channels", "size"}]; stdout: base 64 or null for each
 */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { build } from "esbuild";
import { libflacHeap } from "../../site_src/libflac_heap.mjs";

const folder = mkdtempSync(join(tmpdir(), "flac-"));
try {
  const outfile = join(folder, "unpacker.mjs");
  await build({
    entryPoints: ["site_src/browser/recording-flac.js"],
    bundle: true,
    format: "esm",
    outfile,
    loader: { ".wasm": "file" },
    define: { __LIBFLAC__: JSON.stringify(libflacHeap()) },
    logLevel: "warning",
  });
  const { makeUnpacker } = await import(pathToFileURL(outfile).href);
  const unpack = await makeUnpacker(readFileSync("node_modules/libflacjs/dist/libflac.wasm.wasm"));
  /** @type {{head: string, packed: string, frames: number, channels: number, size: number}[]} */
  const asked = JSON.parse(readFileSync(0, "utf8"));
  const bytes = (/** @type {string} */ text) => new Uint8Array(Buffer.from(text, "base64"));
  const found = asked.map(({ head, packed, frames, channels, size }) =>
    unpack(bytes(head), bytes(packed), frames, channels, size),
  );
  console.log(JSON.stringify(found.map((one) => one && Buffer.from(one).toString("base64"))));
} finally {
  rmSync(folder, { recursive: true });
}
