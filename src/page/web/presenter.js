// Presenter mode, and the keys.

import { byId, el } from "./dom.js";

let home = null; // where the focus returns to

export function present(on = !presenting()) {
  if (on === presenting()) return;
  document.body.classList.toggle("presenting", on);
  byId("leave").hidden = !on;
  if (on) home = document.activeElement;
  (on ? byId("leave") : home)?.focus();
}

export const presenting = () => document.body.classList.contains("presenting");

// `keys`: [{keys: ["P"], label, words, run, presenter}]; with `presenter` only in that mode.
export function wireKeys(keys) {
  byId("keys").replaceChildren(...keys.map(({ label, words }) =>
    el("div", {}, el("dt", {}, label), el("dd", {}, words))));
  byId("keys-close").addEventListener("click", () => byId("keys-dialog").close());
  byId("help").addEventListener("click", () => byId("keys-dialog").showModal());
  byId("present").addEventListener("click", () => present(true));
  byId("leave").addEventListener("click", () => present(false));
  addEventListener("keydown", (event) => {
    if (event.defaultPrevented || document.querySelector("dialog[open]")) return;
    const found = keys.find((key) => key.run && matches(key, event));
    if (!found) return;
    event.preventDefault();
    found.run();
  });
}

function matches({ keys, control, shift, presenter }, event) {
  const name = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (!keys.includes(name) || event.altKey) return false;
  const pressed = event.ctrlKey || event.metaKey;
  if (control) return pressed && event.shiftKey === Boolean(shift);
  if (pressed || (presenter && !presenting())) return false;
  if (name.length > 1) return true;
  return byId("single-keys").checked && !writing(event.target);
}

// In a field a letter is text.
const writing = (target) => target.matches?.("select, textarea, input:not([type=checkbox], [type=radio], [type=range])");
