// @ts-check
/**
 * Runs before the first paint, so it is a plain script, small, and blocks.
 * 1. Colour scheme: auto, light, dark or sun, remembered on this device.
 * 2. The storage helpers that Material's bundle expects to find.
 * 3. Later: the current stage of the job is scrolled into sight in its strip, and links in a
 *    drawing are followed like all others.
 */
(() => {
  const SCHEMES = ["auto", "light", "dark", "sun"];
  const KEY = "wetside.scheme";
  const root = document.documentElement;
  const page = /** @type {any} */ (window);

  /** @returns {string} */
  function rememberedScheme() {
    try {
      const kept = localStorage.getItem(KEY) ?? "auto";
      return SCHEMES.includes(kept) ? kept : "auto";
    } catch {
      return "auto"; // storage refused: the scheme still works, for this page
    }
  }

  /** @param {string} scheme */
  function rememberScheme(scheme) {
    try {
      localStorage.setItem(KEY, scheme);
    } catch {
      // storage refused: nothing to remember with
    }
  }

  /** @param {string} scheme */
  function showScheme(scheme) {
    root.dataset.scheme = scheme;
    for (const choice of document.querySelectorAll("select[data-scheme-choice]")) {
      /** @type {HTMLSelectElement} */ (choice).value = scheme;
    }
  }

  function showCurrentStage() {
    const strip = document.querySelector(".stages");
    const current = strip?.querySelector("[aria-current]");
    if (!strip || !current) return;
    const gap = current.getBoundingClientRect().left - strip.getBoundingClientRect().left;
    strip.scrollLeft += gap - strip.clientWidth / 3;
  }

  /**
   * Material's navigation cannot read a link in an SVG: give it an ordinary one.
   * @param {MouseEvent} event
   */
  function followDrawnLink(event) {
    if (event.ctrlKey || event.metaKey || event.shiftKey || !(event.target instanceof Element)) return;
    const drawn = event.target.closest("svg a");
    if (!drawn) return;
    event.preventDefault();
    event.stopPropagation();
    const link = document.createElement("a");
    link.href = /** @type {SVGAElement} */ (drawn).href.baseVal;
    document.body.append(link);
    link.click();
    link.remove();
  }

  showScheme(rememberedScheme());
  document.addEventListener("click", followDrawnLink, { capture: true });
  document.addEventListener("change", ({ target }) => {
    if (!(target instanceof HTMLSelectElement) || !target.matches("[data-scheme-choice]")) return;
    rememberScheme(target.value);
    showScheme(target.value);
  });

  const here = /** @type {HTMLScriptElement} */ (document.currentScript).src;
  page.__md_scope = new URL("../../", here);
  /** @param {string} text */
  page.__md_hash = (text) => [...text].reduce((sum, char) => (sum << 5) - sum + char.charCodeAt(0), 0);
  /** @param {string} key */
  page.__md_get = (key, store = localStorage, scope = page.__md_scope) =>
    JSON.parse(store.getItem(`${scope.pathname}.${key}`) ?? "null");
  /** @param {string} key @param {unknown} value */
  page.__md_set = (key, value, store = localStorage, scope = page.__md_scope) => {
    try {
      store.setItem(`${scope.pathname}.${key}`, JSON.stringify(value));
    } catch {
      // storage refused: Material can do without
    }
  };

  document.addEventListener("DOMContentLoaded", () => {
    showScheme(root.dataset.scheme ?? "auto");
    page.document$?.subscribe(showCurrentStage);
  });
})();
