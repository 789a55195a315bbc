/**
 * Bundles the service worker and writes into it which files of the built site belong to this edition.
 *
 * argv: folder of the built site
 * stdin: {"policy", "edition", "runtime"}: constants for the code
 */
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import { injectManifest } from "workbox-build";

const site = process.argv[2];
if (!site) throw new Error("usage: service_worker.mjs SITE < constants.json");
/** @type {{policy: string, edition: string, runtime: string}} */
const { policy, edition, runtime } = JSON.parse(readFileSync(0, "utf8"));

const bundled = join(site, "sw.bundled.js");
const { warnings } = await build({
  entryPoints: ["site_src/browser/sw.js"],
  outfile: bundled,
  bundle: true,
  minify: true,
  format: "iife", // not every browser starts a module as service worker
  target: "es2022",
  define: {
    __POLICY__: JSON.stringify(policy),
    __EDITION__: JSON.stringify(edition),
    __RUNTIME__: JSON.stringify(runtime),
    "process.env.NODE_ENV": '"production"',
  },
  legalComments: "none",
  logLevel: "warning",
});
const injected = await injectManifest({
  swSrc: bundled,
  swDest: join(site, "sw.js"),
  globDirectory: site,
  globPatterns: ["**/*"],
  // The runtime is kept by its own hash, on first use or on request; headers are for the server.
  globIgnores: ["runtime/**", "offline-manifest.json", "sw.js", "sw.bundled.js", "_headers", "headers.json", "**/*.map", "**/*.gz"],
  maximumFileSizeToCacheInBytes: 8 * 1024 * 1024,
  // Names under assets/wetside carry a hash, so their address already says their version.
  dontCacheBustURLsMatching: /^assets\/wetside\//,
});
rmSync(bundled);
const complaints = [...warnings.map((warning) => warning.text), ...injected.warnings];
if (complaints.length > 0) throw new Error(`service worker: ${complaints.join("; ")}`);
console.log(JSON.stringify({ files: injected.count, bytes: injected.size }));
