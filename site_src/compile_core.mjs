/**
 * Compiles Python packages to bytecode inside the very runtime that the page uses, and zips them.
 *
 * stdin: {"archives": [{"name": "core.zip", "files": {"calculators/units.py": "source…"}}]}
 * argv:  folder to write the archives to
 *
 * The bytecode is unchecked and lies where a source would (calculators/units.pyc), so Python imports
 * it from the archive without looking for a source. Names are sorted and times fixed: the same
 * source gives the same bytes on every machine.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { loadPyodide } from "pyodide";

const ZIP = `
import io, importlib.util, marshal, zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

def bytecode(path, source):
    code = compile(source, path, "exec", dont_inherit=True)
    return _code_to_hash_pyc(code, importlib.util.source_hash(source), False)

def archive(files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as z:
        for path, text in sorted(files.items()):
            data = text.encode()
            if path.endswith(".py"):
                path, data = path + "c", bytecode(path, data)
            entry = zipfile.ZipInfo(path, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            z.writestr(entry, data, compresslevel=9)
    return out.getvalue()

archive
`;

/** @type {{archives: {name: string, files: Record<string, string>}[]}} */
const { archives } = JSON.parse(readFileSync(0, "utf8"));
const folder = process.argv[2];
if (!folder) throw new Error("usage: compile_core.mjs FOLDER < archives.json");

const python = await loadPyodide({ env: { PYTHONHASHSEED: "0" } });
const archive = python.runPython(ZIP);
for (const { name, files } of archives) {
  const packed = archive(python.toPy(files));
  writeFileSync(join(folder, name), packed.toJs());
}
