/** Starts Python as it comes, from the folder put in here, and has it calculate 1+1. */

const runtime = new URL("RUNTIME", import.meta.url).href;
const { loadPyodide } = await import(`${runtime}pyodide.mjs`);
const python = await loadPyodide({ indexURL: runtime });
postMessage(python.runPython("1+1"));

export {};
