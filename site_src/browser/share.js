/** Hand a calculation on: as a link, or as a QR code of that link. */

import { h, setText, svg } from "./dom.js";

/** @import {QrCode} from "./types" */

/**
 * The address of these values, on the calculator's own page.
 * @param {HTMLElement} section
 */
export function addressOf(section) {
  const { base = "", page = "", link = "" } = section.dataset;
  return new URL(base + page + link, document.baseURI).href;
}

/**
 * @param {HTMLElement} section
 */
export async function copyLink(section) {
  const address = addressOf(section);
  const status = /** @type {HTMLElement} */ (section.querySelector(".tool-status"));
  const stale = section.classList.contains("stale");
  try {
    await navigator.clipboard.writeText(address);
    setText(status, stale ? "Link to the last good answer copied." : "Link copied.");
  } catch {
    offerText(status, address);
  }
}

/**
 * Where the clipboard is not allowed, a selected field is the next best thing.
 * @param {HTMLElement} status
 * @param {string} address
 */
function offerText(status, address) {
  const id = "wetside-link-to-copy";
  const field = h(document, "input", { type: "text", readonly: true, id, value: address });
  status.replaceChildren(h(document, "label", { for: id }, "Copy this link: "), field);
  const input = /** @type {HTMLInputElement} */ (field);
  input.focus();
  input.select();
}

/** @param {QrCode} code */
export function drawQr(code) {
  const side = code.size + 8; // four modules of quiet zone all round, as the standard asks
  return svg(
    document,
    "svg",
    {
      class: "qr-code",
      viewBox: `-4 -4 ${side} ${side}`,
      role: "img",
      "aria-label": "QR code of the link below",
      "shape-rendering": "crispEdges",
    },
    svg(document, "rect", { class: "paper", x: -4, y: -4, width: side, height: side, fill: "#fff" }),
    svg(document, "path", { class: "ink", d: code.path, fill: "#000" }),
  );
}

/**
 * @param {HTMLElement} section
 * @param {(address: string) => Promise<QrCode>} makeCode
 */
export async function showQr(section, makeCode) {
  const address = addressOf(section);
  const code = await makeCode(address);
  const picture = drawQr(code);
  openDialog(section, picture, address);
}

/**
 * @param {HTMLElement} section
 * @param {Element} picture
 * @param {string} address
 */
function openDialog(section, picture, address) {
  const title = `${section.id}-qr-title`;
  const close = h(document, "button", { type: "button", class: "close" }, "Close");
  const dialog = /** @type {HTMLDialogElement} */ (
    h(
      document,
      "dialog",
      { class: "qr", "aria-labelledby": title },
      h(document, "h2", { id: title }, "These values as a QR code"),
      picture,
      h(document, "p", { class: "qr-address" }, address),
      close,
    )
  );
  close.addEventListener("click", () => dialog.close());
  dialog.addEventListener("close", () => dialog.remove());
  section.append(dialog);
  dialog.showModal();
}

/**
 * Save a text that the calculator shows, as a file of this device.
 * @param {Element} fold
 */
export function saveExport(fold) {
  const button = /** @type {HTMLElement} */ (fold.querySelector(".save-export"));
  const text = fold.querySelector(".export-text")?.textContent ?? "";
  const address = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
  const link = h(document, "a", { href: address, download: button.dataset.file });
  /** @type {HTMLElement} */ (link).click();
  URL.revokeObjectURL(address);
}
