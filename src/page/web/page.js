// The page's entry: holds the state, asks the program, and shows what it answers.

import { Asker, Refused } from "./ask.js";
import { clearTrouble, problemLine, showAnswer, showTrouble } from "./answer.js";
import { byId, calmMotion, setText } from "./dom.js";
import { Drawing, showStopped } from "./draw.js";
import { History } from "./history.js";
import { decode, keepInAddress, writeAddress } from "./link.js";
import { present, wireKeys } from "./presenter.js";
import { copy, showSaving, wireSaving } from "./save.js";
import { Settings, showConstruct } from "./settings.js";
import { Timeline } from "./timeline.js";

const BACK = 1200; // ms the fragment is seen where it springs back to
const STOP_STAYS = 4000; // ms
const QUIET = 4000; // ms what was told of a push stays

const asker = new Asker();
const past = new History();
const systemDark = matchMedia("(prefers-color-scheme: dark)");
let state = null; // what is committed
let good = null; // the answer to it
let settings = null;
let dark = systemDark.matches;
let live = null; // the last part of the drag or push under way: {change | push}; each is an object of its own
let nudges = null; // nudges that wait to be sent: {handle, by}
let springing = null; // timer of the view after letting go
let chosenDark = false;

// For checks of the page from outside.
const times = [];
const engine = [];
window.rimhold = {
  latest: null,
  get state() { return state; },
  times,
  engine,
  async idle() {
    while (asker.busy || springing || !good) await new Promise((resolve) => setTimeout(resolve, 5));
  },
};

// ---- showing ----

function render(answer) {
  window.rimhold.latest = answer;
  drawing.show(answer);
  timeline.show(answer);
  settings.show(answer);
  showAnswer(answer);
  showSaving(answer);
  stopAt(answer.stopped);
  byId("undo").disabled = past.past.length === 0;
  byId("redo").disabled = past.future.length === 0;
}

let stopTimer = null;

function stopAt(words) {
  clearTimeout(stopTimer);
  showStopped(words);
  if (words && !live) stopTimer = setTimeout(() => showStopped(null), STOP_STAYS);
}

let noteTimer = null;

function note(words) {
  clearTimeout(noteTimer);
  setText(byId("note"), words);
  noteTimer = setTimeout(() => setText(byId("note"), ""), 4000);
}

const dismiss = { label: "Back to the last good state", run: () => { clearTrouble(); if (good) render(good); } };

function showProblems(problems) {
  showTrouble("This cannot be computed:", problems.map(problemLine), good ? [dismiss] : []);
}

function fail(error) {
  endLive();
  if (good) render(good);
  if (error instanceof Refused) return showTrouble(error.message, [], good ? [dismiss] : []);
  if (!(error instanceof TypeError)) throw error;
  showTrouble("The program has ended; start it again with rimhold live", [],
    [{ label: "Try again", run: () => (good ? refresh() : start()) }]);
}

const wrong = (answer) => Boolean(answer.problems?.length);

// ---- asking ----

// A change that becomes a step of undo. `make(state)` gives {state, change}.
function commit(make, key = null) {
  const own = live;
  asker.commit({
    build: () => ({ ...make(state), before: state, dark }),
    done: (answer) => accept(answer, key, own),
    failed: fail,
  });
}

// Another drag may have begun while this answer was under way: it goes on.
function accept(answer, key, own) {
  if (live === own) endLive();
  if (wrong(answer)) {
    if (good && !live) render(good);
    return showProblems(answer.problems);
  }
  clearTrouble();
  if (JSON.stringify(answer.state) !== JSON.stringify(state)) past.push(state, key);
  settle(answer);
}

function settle(answer) {
  state = answer.state;
  good = answer;
  if (!live) render(answer);
  keepInAddress(state);
}

const change = (what, key) => commit((now) => ({ state: now, change: what }), key);

function edit(alter, key) {
  commit((now) => {
    const next = structuredClone(now);
    alter(next);
    return { state: next, change: null };
  }, key);
}

// Shows a state without making a step of it; `then` runs before it is drawn.
function showState(choose, then = () => {}) {
  asker.commit({
    build: () => ({ ...choose(), change: null, dark }),
    done: (answer) => {
      if (wrong(answer)) return showProblems(answer.problems);
      clearTrouble();
      then();
      settle(answer);
    },
    failed: fail,
  });
}

const refresh = () => showState(() => ({ state, before: past.before }));

// Also while a change is under way: it is asked for when that is answered.
function undo() {
  showState(
    () => ({ state: past.before ?? state, before: past.past.at(-2) ?? null }),
    () => past.before && past.undo(state),
  );
}

function redo() {
  showState(
    () => ({ state: past.future.at(-1) ?? state, before: state }),
    () => past.future.length > 0 && past.redo(state),
  );
}

// A drag asks from the committed state each time, so that what it shows does not depend on the way.
function preview(part, time) {
  clearTimeout(springing);
  springing = null;
  live = part;
  asker.preview({
    build: () => ({ state, before: part.push ? past.before : state, dark, quick: true, ...part }),
    done: (answer) => {
      if (!live) return;
      if (wrong(answer)) return showProblems(answer.problems);
      clearTrouble();
      render(answer);
      engine.push(answer.engine_ms);
      requestAnimationFrame(() => times.push(performance.now() - time));
    },
    failed: fail,
  });
}

function endLive() {
  live = null;
}

// ---- what the hand does ----

const drawing = new Drawing({
  move: (handle, by, time) =>
    preview({ change: { kind: "move", handle: handle.id, view: handle.view, by } }, time),

  drop() {
    const last = live?.change;
    if (last) change(last);
  },

  cancel() {
    asker.dropPreview();
    endLive();
    render(good);
  },

  // Keys repeat faster than answers come: nudges that still wait are added up.
  nudge(handle, by) {
    if (nudges?.handle.id === handle.id && nudges.handle.view === handle.view) {
      nudges.by = nudges.by.map((part, axis) => part + by[axis]);
      return;
    }
    const mine = { handle, by };
    nudges = mine;
    commit((now) => {
      if (nudges === mine) nudges = null;
      const by = mine.by.map((part) => Math.round(part * 100) / 100);
      return { state: now, change: { kind: "move", handle: handle.id, view: handle.view, by } };
    }, `nudge ${handle.id}`);
  },

  push: (view, by, time) => preview({ push: { view, by } }, time),

  letGo() {
    const last = live;
    if (!last?.push) return;
    asker.commit({
      build: () => ({ state, before: past.before, dark, ...last }),
      done: (answer) => {
        if (live !== last) return;
        endLive();
        if (wrong(answer) || !answer.pushed) return render(good);
        springBack(answer);
      },
      failed: fail,
    });
  },
});

// Letting go: the fragment is seen for a moment where it comes to rest, then the state as before.
function springBack(answer) {
  if (!calmMotion()) drawing.show(answer, answer.pushed.views_back);
  else render(good);
  drawing.tell(answer.pushed.back);
  setText(byId("announce"), answer.pushed.back);
  springing = setTimeout(() => {
    springing = null;
    render(good);
    drawing.tell(`${answer.pushed.back}. Drawn as before.`);
    setTimeout(() => drawing.tell(""), QUIET);
  }, calmMotion() ? 0 : BACK);
}

const otherStart = (next) => { next.from = next.from === "displaced" ? "reduced" : "displaced"; };
const otherReading = (next) => { next.settled = !next.settled; };
const nextConstruct = (next) => showConstruct(next, (next.shown + 1) % next.constructs.length);

const timeline = new Timeline({
  goTo: (made) => edit((next) => { next.tied = made >= timeline.ties.length ? null : made; }),
  // Of several quick steps each goes on from the one before, answered or not.
  goBy: (by) => edit((next) => {
    const to = Math.max(0, Math.min(timeline.ties.length, (next.tied ?? timeline.ties.length) + by));
    next.tied = to >= timeline.ties.length ? null : to;
  }),
  reorder: (order) => change({ kind: "order", order }),
  hold: (tie, held) => change({ kind: "hold", tie, held }),
  ask: () => ({ page: "orders", number: 0, state, change: null, push: null, before: null, dark }),
  trouble: fail,
});

function wireSettings(begun) {
  settings = new Settings({
    edit,
    preview: (path, value, time) => preview({ change: { kind: "set", path, value } }, time),
    set: (path, value) => change({ kind: "set", path, value }, `set ${path}`),
    rename: (construct, name) => change({ kind: "rename", construct, name }),
    refuse: (path, text) => {
      render(good);
      stopAt(`"${text}" is no number`);
    },
    fail,
  }, begun);
}

function showTheme() {
  document.documentElement.dataset.theme = dark ? "dark" : "light";
  setText(byId("theme"), dark ? "Light" : "Dark");
}

function setDark(on) {
  dark = on;
  showTheme();
  if (state) refresh();
}

function toggleTheme() {
  chosenDark = true;
  setDark(!dark);
}

async function copyLink() {
  await copy(await writeAddress(), "Link copied", note);
}

function wirePage() {
  showTheme();
  systemDark.addEventListener("change", () => { if (!chosenDark) setDark(systemDark.matches); });
  byId("undo").addEventListener("click", undo);
  byId("redo").addEventListener("click", redo);
  byId("theme").addEventListener("click", toggleTheme);
  byId("copy-link").addEventListener("click", copyLink);
  addEventListener("hashchange", openLink);
  wireSaving({ state: () => state, note, fail });
  wireKeys([
    { keys: ["z"], control: true, run: undo, label: "Ctrl+Z", words: "undo" },
    { keys: ["z"], control: true, shift: true, run: redo, label: "Ctrl+Shift+Z", words: "redo" },
    { keys: ["y"], control: true, run: redo, label: "Ctrl+Y", words: "redo" },
    { keys: ["p"], run: () => present(), label: "P", words: "presenter mode, on and off" },
    { keys: ["Escape"], presenter: true, run: () => present(false), label: "Esc", words: "end a drag, leave presenter mode" },
    { keys: ["ArrowRight", "PageDown"], presenter: true, run: () => timeline.step(1), label: "→ or Page down", words: "next tie (presenter)" },
    { keys: ["ArrowLeft", "PageUp"], presenter: true, run: () => timeline.step(-1), label: "← or Page up", words: "tie before (presenter)" },
    { keys: ["f"], run: () => edit(otherStart), label: "F", words: "start from displaced or reduced" },
    { keys: ["s"], run: () => edit(otherReading), label: "S", words: "as tied or settled" },
    { keys: ["c"], run: () => edit(nextConstruct), label: "C", words: "draw the next construct" },
    { keys: ["o"], run: () => byId("orders").click(), label: "O", words: "play the two tying orders" },
    { keys: ["d"], run: toggleTheme, label: "D", words: "dark or light" },
    { keys: ["?"], run: () => byId("help").click(), label: "?", words: "these keys" },
    { label: "Arrow keys", words: "on a handle: move it 0.5 mm, with Shift 0.1 mm" },
    { label: "Arrow keys", words: "on Push: push by 0.25 mm; Enter or Esc lets go" },
    { label: "Alt+← Alt+→", words: "on a tie: earlier, later" },
  ]);
}

// ---- beginning ----

async function stateOfLink(instead) {
  if (location.hash.length < 2) return null;
  const linked = await decode(location.hash);
  if (!linked) showTrouble(`This link is broken. ${instead}`, [], [dismiss]);
  return linked;
}

// A link pasted into the open page.
async function openLink() {
  const linked = await stateOfLink("It is not opened; the page stays as it is.");
  if (linked) edit((next) => Object.assign(next, linked));
}

function begin(first, fallback) {
  asker.commit({
    build: () => ({ state: first, before: null, dark }),
    done: (answer) => {
      if (!wrong(answer)) return settle(answer);
      showProblems(answer.problems);
      if (fallback) begin(fallback, null);
    },
    failed: (error) => {
      fail(error);
      if (fallback && error instanceof Refused) begin(fallback, null);
    },
  });
}

async function start() {
  let begun;
  try {
    begun = await (await fetch("start")).json();
  } catch (error) {
    return fail(error);
  }
  clearTrouble();
  if (!settings) wireSettings(begun);
  const linked = await stateOfLink("The page shows its start instead.");
  begin(linked ?? begun.state, linked && begun.state);
}

wirePage();
start();
