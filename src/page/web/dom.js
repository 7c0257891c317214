// Small functions that build and update the document.

export const byId = (id) => document.getElementById(id);

// el("button", {class: "go", onclick: f}, "text")
export function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (typeof value === "boolean") node[name] = value;
    else node.setAttribute(name, value);
  }
  node.append(...children);
  return node;
}

export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

export function setAttribute(node, name, value) {
  if (node.getAttribute(name) !== value) node.setAttribute(name, value);
}

const parser = new DOMParser();
const shown = new WeakMap();

// A drawing is parsed only if its text is new, and then only what differs in it is replaced: laying
// out a drawing's text is the dear part of a frame.
export function setSvg(host, text) {
  if (shown.get(host) === text) return;
  const svg = document.adoptNode(parser.parseFromString(text, "image/svg+xml").documentElement);
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  svg.setAttribute("aria-hidden", "true"); // the host carries the description
  svg.querySelector(":scope > title")?.remove(); // a tip under the pointer would be in the way
  if (host.firstElementChild) renew(host.firstElementChild, svg);
  else host.append(svg);
  shown.set(host, text);
}

const sameShell = (a, b) => a.cloneNode(false).isEqualNode(b.cloneNode(false));

// Makes `old` equal to `next`, leaving the children that they have in common at both ends.
function renew(old, next) {
  if (old.isEqualNode(next)) return;
  if (!next.firstElementChild || !sameShell(old, next)) return old.replaceWith(next);
  const [from, to] = [[...old.childNodes], [...next.childNodes]];
  if (from.length === to.length) return from.forEach((child, index) => renew(child, to[index]));
  let start = 0;
  while (start < from.length && start < to.length && from[start].isEqualNode(to[start])) start += 1;
  let end = 0;
  const room = Math.min(from.length, to.length) - start;
  while (end < room && from.at(-1 - end).isEqualNode(to.at(-1 - end))) end += 1;
  const after = from[from.length - end] ?? null;
  for (const child of from.slice(start, from.length - end)) child.remove();
  for (const child of to.slice(start, to.length - end)) old.insertBefore(child, after);
}

// Runs `build` only when `value` differs from what the host was last built from.
const built = new WeakMap();
export function whenNew(host, value, build) {
  const key = JSON.stringify(value);
  if (built.get(host) === key) return;
  built.set(host, key);
  build();
}

export const calmMotion = () => matchMedia("(prefers-reduced-motion: reduce)").matches;
