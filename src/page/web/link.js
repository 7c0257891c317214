// The whole state in the page's address, compressed, so that a link reopens it.

const WAIT = 400; // ms between updates of the address; browsers refuse more frequent ones

const MOST = 1 << 20; // bytes of a state: more is none

async function through(bytes, stream) {
  const parts = [];
  let size = 0;
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    size += part.value.length;
    if (size > MOST) throw new RangeError("too much for a state");
    parts.push(part.value);
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}

export async function encode(state) {
  const bytes = new TextEncoder().encode(JSON.stringify(state));
  const packed = await through(bytes, new CompressionStream("deflate-raw"));
  const text = Array.from(packed, (byte) => String.fromCharCode(byte)).join("");
  return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

// The state of a link, or null if it is broken.
export async function decode(hash) {
  try {
    const text = atob(hash.replace(/^#/, "").replaceAll("-", "+").replaceAll("_", "/"));
    const packed = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
    const bytes = await through(packed, new DecompressionStream("deflate-raw"));
    const state = JSON.parse(new TextDecoder().decode(bytes));
    return isState(state) ? state : null;
  } catch {
    return null;
  }
}

const isText = (file) => typeof file?.name === "string" && typeof file.text === "string";

function isState(state) {
  const { constructs, shown, tied, lost } = state;
  return isText(state.case)
    && Array.isArray(constructs) && constructs.every(isText)
    && Number.isInteger(shown) && shown >= 0 && shown < constructs.length
    && ["displaced", "reduced"].includes(state.from) && typeof state.settled === "boolean"
    && (tied === null || (Number.isSafeInteger(tied) && tied >= 0))
    && Array.isArray(lost) && lost.every((name) => typeof name === "string");
}

let timer = null;
let latest = null;

export function keepInAddress(state) {
  latest = state;
  timer ??= setTimeout(writeAddress, WAIT);
}

export async function writeAddress() {
  clearTimeout(timer);
  timer = null;
  history.replaceState(null, "", "#" + (await encode(latest)));
  return location.href;
}
