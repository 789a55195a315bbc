/** What has to be known of the compiled libFLAC to call it without its own script. */
import { readFileSync } from "node:fs";

/** Where it expects its heap: its own script says so. */
export function libflacHeap() {
  const script = readFileSync("node_modules/libflacjs/dist/libflac.wasm.js", "utf8");
  const [heapEnd, heapStart] = ["DYNAMICTOP_PTR", "DYNAMIC_BASE"].map((name) => {
    const found = script.match(new RegExp(`\\b${name} = (\\d+)[,;]`));
    if (!found) throw new Error(`libflacjs does not say ${name} any more`);
    return Number(found[1]);
  });
  return { heapEnd, heapStart };
}
