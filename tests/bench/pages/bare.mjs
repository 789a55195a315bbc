/** The least that a page can do to show an answer from Python: start the Worker, show what it sends. */

const worker = new Worker(new URL("bare_worker.mjs", import.meta.url), { type: "module" });
worker.onmessage = ({ data }) => {
  /** @type {HTMLOutputElement} */ (document.querySelector("output")).textContent = String(data);
  document.documentElement.dataset.answer = "here";
};
worker.onerror = (event) => {
  throw new Error(event.message);
};
