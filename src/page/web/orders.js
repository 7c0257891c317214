// Two tying orders played side by side.

import { byId, calmMotion, el, setAttribute, setSvg, setText } from "./dom.js";
import { post } from "./ask.js";
import { FACTS, warning } from "./timeline.js";

const PACE = 1400; // ms a step is seen while playing

// hooks: ask() -> Ask, trouble(error)
export async function playOrders(hooks) {
  const dialog = byId("orders-dialog");
  const host = byId("orders-rows");
  const play = byId("orders-play");
  host.replaceChildren("Working …");
  play.hidden = calmMotion();
  dialog.showModal();
  let rows;
  try {
    rows = (await (await post("orders", hooks.ask())).json()).rows;
  } catch (error) {
    dialog.close();
    return hooks.trouble(error);
  }
  const panes = rows.map(orderPane);
  host.replaceChildren(...panes.map((pane) => pane.node));
  const last = Math.max(...rows.map((row) => row.stages.length)) - 1;
  let at = 0;
  let timer = null;
  const draw = () => {
    for (const pane of panes) pane.show(at);
    byId("orders-back").disabled = at === 0;
    byId("orders-forward").disabled = at === last;
    setText(play, timer ? "Pause" : "Play");
  };
  const pause = () => {
    clearInterval(timer);
    timer = null;
  };
  const step = (by) => {
    at = Math.max(0, Math.min(last, at + by));
    if (at === last) pause();
    draw();
  };
  const start = () => {
    if (at === last) at = 0;
    timer = setInterval(() => step(1), PACE);
    draw();
  };
  play.onclick = () => {
    if (!timer) return start();
    pause();
    draw();
  };
  byId("orders-back").onclick = () => { pause(); step(-1); };
  byId("orders-forward").onclick = () => { pause(); step(1); };
  byId("orders-close").onclick = () => dialog.close();
  dialog.onclose = pause;
  draw();
  if (!calmMotion()) start();
}

function orderPane(row) {
  const picture = el("div", { class: "picture", role: "img" });
  const title = el("p", { class: "title" });
  const facts = FACTS.map(([key, label]) => el("div", {}, el("dt", {}, label), el("dd", { "data-fact": key })));
  const bad = el("p", { class: "bad" });
  const node = el("section", {}, el("h3", {}, row.heading), title, picture, el("dl", {}, ...facts), bad);
  const show = (at) => {
    const stage = row.stages[Math.min(at, row.stages.length - 1)];
    setText(title, stage.title);
    // Of a tie at which fixation fails there is no drawing: the one before stays.
    if (stage.svg) setSvg(picture, stage.svg);
    setAttribute(picture, "aria-label", `${row.heading}, ${stage.title}`);
    for (const [key] of FACTS) setText(node.querySelector(`[data-fact=${key}]`), stage[key]);
    setText(bad, warning(stage));
  };
  return { node, show };
}
