/**
 * Bundles the browser code and the styles with esbuild; a script's name carries its content's hash.
 *
 * argv: folder for the scripts, file for the style, file for the list of names
 */
import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { build } from "esbuild";
import { libflacHeap } from "./libflac_heap.mjs";

const [folder, styleFile, list] = process.argv.slice(2);
if (!folder || !styleFile || !list) throw new Error("usage: bundle.mjs FOLDER STYLE.css LIST.json");

/** Packages whose files go into the site as they are. */
const COPIED = [
  "node_modules/@fontsource-variable/atkinson-hyperlegible-mono",
  "node_modules/@fontsource-variable/atkinson-hyperlegible-next",
  "node_modules/@fontsource/noto-sans-math",
  "node_modules/pyodide",
];

/** @type {import("esbuild").BuildOptions & {metafile: true}} */
const common = {
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  legalComments: "none", // the licences go to one file, see below
  metafile: true,
  logLevel: "warning",
};

/** Bundle, and turn every warning into an error. @param {import("esbuild").BuildOptions} options */
async function bundle(options) {
  const { warnings, metafile } = await build({ ...common, ...options, metafile: true });
  if (warnings.length > 0) throw new Error(`esbuild: ${warnings.length} warning(s), see above`);
  return metafile;
}

/** Hashed name of the bundle made from this source. @param {import("esbuild").Metafile} metafile @param {string} source */
function bundleOf(metafile, source) {
  const found = Object.entries(metafile.outputs).find(([, output]) => output.entryPoint === source);
  if (!found) throw new Error(`no bundle was made from ${source}`);
  return basename(found[0]);
}

/** Name of the npm package that a file belongs to. @param {string} path */
function packageOf(path) {
  return path.match(/^.*node_modules\/((?:@[^/]+\/)?[^/]+)/)?.[0];
}

/** The licence texts of every package that went into the bundles. @param {import("esbuild").Metafile[]} metafiles */
function licences(metafiles) {
  const inputs = metafiles.flatMap((metafile) => Object.keys(metafile.inputs));
  const packages = new Set([...inputs.map(packageOf), ...COPIED].filter((path) => path !== undefined));
  return [...packages].sort().map(licenceOf).join("\n\n") + `\n\n${libflacLicence()}`;
}

/** Of what libflacjs was compiled from: its package names it, and its licence asks for this text. */
const libflacLicence = () => readFileSync("site_src/licences/libflac.txt", "utf8").trimEnd();

/** @param {string} path */
function licenceOf(path) {
  const { name, version, license } = JSON.parse(readFileSync(join(path, "package.json"), "utf8"));
  const file = readdirSync(path).find((name) => /^licen[cs]e/i.test(name));
  const text = file && existsSync(join(path, file)) ? readFileSync(join(path, file), "utf8").trim() : "";
  return `${name} ${version} (${license})\n${"-".repeat(60)}\n${text}`;
}

const scripts = { outdir: folder, entryNames: "[name]-[hash]", chunkNames: "[name]-[hash]" };
const WORKER = "site_src/browser/worker.js";
const RECORDING_WORKER = "site_src/browser/recording-worker.js";
const worker = await bundle({ ...scripts, entryPoints: [WORKER] });
const recordingWorker = await bundle({
  ...scripts,
  entryPoints: [RECORDING_WORKER],
  splitting: true, // what unpacks FLAC is loaded when a FLAC file comes
  assetNames: "[name]-[hash]",
  loader: { ".wasm": "file" },
  define: { __LIBFLAC__: JSON.stringify(libflacHeap()) },
});
const workerName = bundleOf(worker, WORKER);
const recordingWorkerName = bundleOf(recordingWorker, RECORDING_WORKER);
const page = await bundle({
  ...scripts,
  entryPoints: ["site_src/browser/page.js"],
  splitting: true,
  define: {
    __WORKER__: JSON.stringify(workerName),
    __RECORDING_WORKER__: JSON.stringify(recordingWorkerName),
  },
});
// Not hashed yet: the build adds the rules of the drawn formulas first. The fonts keep their names.
const style = await bundle({
  entryPoints: ["site_src/styles/wetside.css"],
  outfile: styleFile,
  external: ["*.woff2"],
});

writeFileSync(join(folder, "licences.txt"), licences([worker, recordingWorker, page, style]));
const names = {
  page: bundleOf(page, "site_src/browser/page.js"),
  plot: bundleOf(page, "site_src/browser/plot.js"),
  worker: workerName,
};
writeFileSync(list, JSON.stringify(names, null, 1));
