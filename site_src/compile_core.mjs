/**
 * Compiles Python packages to bytecode inside the very runtime that the page uses, and zips them.
 *
 * stdin: [{"to": "path/core.zip", "files": {"calculators/units.py": "source…"}},
 *         {"to": "path/python_stdlib.zip", "library": "path of its sources", "drop": ["unittest/"],
 *          "optimize": 2}]
 *
 * A library comes as an archive of sources, which every start in a browser would compile again; it is
 * compiled here once, less what a page never uses. In "drop", * stands for anything.
 *
 * The bytecode is unchecked and lies where a source would (calculators/units.pyc), so Python imports
 * it from the archive without looking for a source. Names are sorted and times fixed: the same
 * source gives the same bytes on every machine.
 */
import { readFileSync, renameSync, writeFileSync } from "node:fs";
import { loadPyodide } from "pyodide";

const ZIP = `
import io, importlib.util, zipfile
from fnmatch import fnmatchcase
from importlib._bootstrap_external import _code_to_hash_pyc

def bytecode(path, source, optimize):
    code = compile(source, path, "exec", dont_inherit=True, optimize=optimize)
    return _code_to_hash_pyc(code, importlib.util.source_hash(source), False)

def archive(files):
    return packed({path: text.encode() for path, text in files.items()}, optimize=0)

def library(source, drop, optimize):
    with zipfile.ZipFile(source) as z:
        names = [name for name in z.namelist() if not name.endswith("/")]
        dropped = {start: {n for n in names if fnmatchcase(n, start + "*")} for start in drop}
        unknown = [start for start, found in dropped.items() if not found]
        if unknown:
            raise ValueError(f"not in the library: {unknown}")
        kept = set(names).difference(*dropped.values())
        return packed({name: z.read(name) for name in kept}, optimize)

def packed(files, optimize):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as z:
        for path, data in sorted(files.items()):
            if path.endswith(".py"):
                path, data = path + "c", bytecode(path, data, optimize)
            entry = zipfile.ZipInfo(path, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            z.writestr(entry, data, compresslevel=9)
    return out.getvalue()
`;

/** @type {{to: string, files?: Record<string, string>, library?: string, drop?: string[], optimize?: number}[]} */
const jobs = JSON.parse(readFileSync(0, "utf8"));

// Node would quote the line that threw, which is a megabyte of minified code.
process.on("uncaughtException", (error) => {
  console.error(error.message);
  process.exit(1);
});

const python = await loadPyodide({ env: { PYTHONHASHSEED: "0" } });
python.runPython(ZIP);
const archive = python.globals.get("archive");
const compiledLibrary = python.globals.get("library");
for (const { to, files, library, drop, optimize } of jobs) {
  if (library) python.FS.writeFile("/library.zip", new Uint8Array(readFileSync(library)));
  const zip = library
    ? compiledLibrary("/library.zip", python.toPy(drop), optimize)
    : archive(python.toPy(files));
  writeFileSync(to + ".part", zip.toJs());
  renameSync(to + ".part", to);
}
