// Requests to the program: a change that must not be lost goes alone; of previews two are under way, so
// that the next is computed while the one before is drawn, and of those that wait only the latest counts.

export async function post(path, body, signal) {
  const response = await fetch(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
    signal,
  });
  if (response.ok) return response;
  const said = await response.json().catch(() => ({}));
  throw new Refused(said.error ?? `The program answered ${response.status}.`);
}

export class Refused extends Error {}
const LANES = 2; // previews under way at once
const PATIENCE = 250; // ms a preview may take once a newer one waits

// A job is {build() -> part of an Ask, done(answer), failed(error)}. `build` runs when the request
// is sent, so that it sees the state that the request before it left.
export class Asker {
  #page = crypto.randomUUID();
  #number = 0;
  #shown = 0; // number of the newest answer that was shown
  #commits = [];
  #preview = null;
  #flights = new Set();
  #patience = PATIENCE;

  get busy() {
    return Boolean(this.#flights.size || this.#preview || this.#commits.length);
  }

  // For a drag: may be dropped when a newer one comes.
  preview(job) {
    this.#preview = job;
    this.#hurry();
    this.#next();
  }

  // For a change that must not be lost; it also replaces a preview that waits.
  commit(job) {
    this.#preview = null;
    this.#commits.push(job);
    this.#hurry();
    this.#next();
  }

  dropPreview() {
    this.#preview = null;
  }

  // Patience doubles with each abort: else a slow program would never get to answer during a drag.
  #hurry() {
    if (this.#flights.size < LANES) return;
    const [oldest] = this.#flights;
    if (!oldest.isPreview || performance.now() - oldest.since < this.#patience) return;
    this.#patience *= 2;
    oldest.abort.abort();
  }

  #next() {
    const free = this.#flights.size === 0;
    if (this.#commits.length) {
      if (free) this.#send(this.#commits.shift(), false);
      return;
    }
    const previewsOnly = [...this.#flights].every((flight) => flight.isPreview);
    if (!this.#preview || !previewsOnly || this.#flights.size >= LANES) return;
    const job = this.#preview;
    this.#preview = null;
    this.#send(job, true);
  }

  async #send(job, isPreview) {
    const number = ++this.#number;
    const flight = { isPreview, abort: new AbortController(), since: performance.now() };
    this.#flights.add(flight);
    let finish = () => {};
    try {
      const ask = { page: this.#page, number, push: null, change: null, ...job.build() };
      const answer = await (await post("answer", ask, flight.abort.signal)).json();
      this.#patience = PATIENCE;
      // What a newer question or answer has overtaken is not shown any more.
      if (!answer.superseded && number > this.#shown) {
        finish = () => job.done(answer);
        this.#shown = number;
      }
    } catch (error) {
      if (error.name !== "AbortError") finish = () => job.failed(error);
    }
    this.#flights.delete(flight);
    try {
      finish();
    } finally {
      this.#next();
    }
  }
}
