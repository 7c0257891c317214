// Undo and redo: the states before and after the one shown.

const KEPT = 200;
const TOGETHER = 1000; // ms within which repeated nudges of one thing are one step

export class History {
  past = [];
  future = [];
  #key = null;
  #when = 0;

  get before() {
    return this.past.at(-1) ?? null;
  }

  // `key` names what was changed; quick repeats of the same key become one step.
  push(state, key) {
    const now = performance.now();
    const repeat = key && key === this.#key && now - this.#when < TOGETHER && this.past.length > 0;
    this.#key = key;
    this.#when = now;
    this.future = [];
    if (repeat) return;
    this.past.push(state);
    if (this.past.length > KEPT) this.past.shift();
  }

  undo(current) {
    this.future.push(current);
    this.#key = null;
    return this.past.pop();
  }

  redo(current) {
    this.past.push(current);
    this.#key = null;
    return this.future.pop();
  }
}
