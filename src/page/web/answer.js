// The program's answer in words, numbers and the chart; and what it had to complain of.

import { byId, el, setAttribute, setSvg, setText, whenNew } from "./dom.js";

const QUIET = 700; // ms without a newer answer before it is read out

export function showAnswer(answer) {
  setText(byId("verdict"), answer.verdict);
  setSvg(byId("chart"), answer.chart.svg);
  setAttribute(byId("chart"), "aria-label", answer.chart.alt);
  setText(byId("failure"), answer.failure);
  setText(byId("checked"), answer.checked);
  showTable(answer.table, answer.state.shown);
  showStations(answer.stations);
  showShares(answer.shares);
  showGlance(answer);
  byId("before-note").hidden = !answer.before;
  announce(answer);
}

function showTable(table, shown) {
  const host = byId("table");
  whenNew(host, [table, shown], () => {
    const mark = (index) => (index === shown && table.head.length > 1 ? { class: "shown" } : {});
    const head = table.head.map((name, index) => el("th", { scope: "col", ...mark(index) }, name));
    const body = (rows) => el("tbody", {}, ...rows.map((row) => el("tr", {},
      el("th", { scope: "row" }, row.label),
      ...row.cells.map((cell, index) => el("td", mark(index), cell)))));
    const all = (caption, rows) => el("table", {},
      el("caption", { class: "unseen" }, caption),
      el("thead", {}, el("tr", {}, el("td"), ...head.map((cell) => cell.cloneNode(true)))),
      body(rows));
    const open = host.querySelector("details")?.open ?? false;
    host.replaceChildren(
      all("The constructs in numbers", table.rows.filter((row) => row.main)),
      el("details", { open }, el("summary", {}, "More numbers"),
        all("More numbers of the constructs", table.rows.filter((row) => !row.main))));
  });
}

function showStations(stations) {
  const host = byId("stations");
  whenNew(host, stations, () => host.replaceChildren(...stations.map((station) =>
    el("div", {}, el("dt", {}, station.place), el("dd", {}, station.step)))));
}

function showShares(shares) {
  const host = byId("shares").tBodies[0];
  whenNew(host, shares, () => host.replaceChildren(...shares.map((share) => {
    const bar = el("span", { class: "bar-fill" });
    bar.style.width = `${(100 * Math.max(0, Math.min(1, share.share))).toFixed(1)}%`;
    return el("tr", {},
      el("th", { scope: "row" }, share.name),
      el("td", {}, share.newtons),
      el("td", { class: "share" }, bar, el("span", {}, `${Math.round(100 * share.share)} %`)));
  })));
}

function showGlance(answer) {
  const { shown, tied } = answer.state;
  const row = answer.table.rows.find((entry) => entry.key === "load-1mm");
  const isEnd = tied === null && !answer.pushed;
  setText(byId("drawn"), `${answer.table.head[shown]}, ${answer.drawn}`);
  setText(byId("glance-what"), isEnd ? "load at 1 mm" : "load at 1 mm, once finished");
  setText(byId("glance-load"), row?.cells[shown] ?? "—");
  setText(byId("glance-step"), answer.lies.step);
  setText(byId("glance-shift"), answer.lies.shift);
  setText(byId("glance-compression"), answer.lies.compression);
}

let timer = null;

function announce(answer) {
  clearTimeout(timer);
  timer = setTimeout(() => {
    const most = byId("glance-step").textContent;
    const words = answer.pushed?.words ?? `${answer.drawn}: step-off ${most}. ${answer.verdict}`;
    setText(byId("announce"), words);
  }, QUIET);
}

// `actions` are buttons: {label, run}. The last good drawing stays, dimmed, until this is cleared.
export function showTrouble(title, lines, actions) {
  const box = byId("problems");
  const buttons = actions.map(({ label, run }) => el("button", { onclick: run }, label));
  const items = lines.map((line) => el("li", {}, line));
  box.replaceChildren(el("strong", {}, title), ...(items.length ? [el("ul", {}, ...items)] : []), ...buttons);
  box.hidden = false;
  document.body.classList.add("stale");
}

export function clearTrouble() {
  const box = byId("problems");
  if (box.hidden) return;
  box.hidden = true;
  box.replaceChildren();
  document.body.classList.remove("stale");
}

export function problemLine({ file, line, message, found, hint }) {
  const place = line ? `${file}, line ${line}` : file;
  return [`${place ? `${place}: ` : ""}${message}`, found, hint].filter(Boolean).join("; ");
}
