// Tying as a row of steps: step through them, change their order, hold the fragment meanwhile.

import { byId, el, setAttribute, setText, whenNew } from "./dom.js";
import { playOrders } from "./orders.js";

export const FACTS = [["step", "step-off"], ["shift", "shift"], ["compression", "compression"]];

export const warning = (stage) => stage.fails ?? (stage.worse ? "▲ worse than before" : "");

const setDisabled = (id, off) => { byId(id).disabled = off; };

// hooks: goTo(ties made), goBy(ties), reorder(order), hold(tie, held), ask() -> Ask, trouble(error)
export class Timeline {
  constructor(hooks) {
    this.hooks = hooks;
    this.list = byId("timeline");
    byId("back").addEventListener("click", () => this.step(-1));
    byId("forward").addEventListener("click", () => this.step(1));
    byId("orders").addEventListener("click", () => playOrders(hooks));
  }

  show(answer) {
    this.ties = answer.ties;
    this.at = answer.state.tied ?? answer.ties.length;
    // Rebuilt only when the ties themselves change: a click must not lose its button half way.
    const shape = answer.timeline.map((stage, index) => [stage.title, answer.ties[index - 1]?.letter]);
    whenNew(this.list, shape, () => this.build(answer));
    answer.timeline.forEach((stage, index) => this.fill(this.list.children[index], stage, index));
    setDisabled("back", this.at <= 0);
    setDisabled("forward", this.at >= this.ties.length);
    setDisabled("orders", !answer.lesson);
    byId("orders").title = answer.lesson ? "" : "both orders are the same here";
  }

  step(by) {
    this.hooks.goBy(by);
  }

  build(answer) {
    const focused = document.activeElement?.closest("#timeline") && document.activeElement.dataset.key;
    const cards = answer.timeline.map((stage, index) => this.card(stage, index, answer.ties[index - 1]));
    this.list.replaceChildren(...cards);
    if (focused) this.list.querySelector(`[data-key="${CSS.escape(focused)}"]:enabled`)?.focus();
  }

  card(stage, index, tie) {
    const facts = FACTS.map(([key, label]) =>
      el("span", { class: "fact" }, el("span", {}, label), el("b", { "data-fact": key })));
    const key = tie?.title ?? "start";
    const go = el("button", { class: "go", "data-key": `${key} go`, onclick: () => this.hooks.goTo(index) },
      el("span", { class: "title" }, ...(tie ? [el("b", {}, tie.letter), ` ${tie.title}`] : [stage.title])),
      ...facts, el("span", { class: "bad" }));
    const card = el("li", { class: "stage" }, go);
    if (tie) this.addTools(card, index - 1, tie, key);
    return card;
  }

  addTools(card, k, tie, key) {
    const tool = (label, sign, by) => el("button", {
      "aria-label": `Tie ${tie.title} ${label}`, title: label, "data-key": `${key} ${label}`,
      disabled: k + by < 0 || k + by >= this.ties.length,
      onclick: () => this.shift(k, k + by),
    }, sign);
    const grip = el("span", { class: "grip", "aria-hidden": "true", title: "drag into another order" }, "⠿");
    const hold = el("input", {
      type: "checkbox", "data-key": `${key} hold`,
      onchange: (event) => this.hooks.hold(k, event.target.checked),
    });
    card.append(el("div", { class: "tools" },
      el("label", { class: "check" }, hold, "hold with an instrument"),
      tool("earlier", "←", -1), tool("later", "→", 1), grip));
    card.addEventListener("keydown", (event) => {
      const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      if (!event.altKey || !by) return;
      event.preventDefault();
      this.shift(k, k + by);
    });
    this.makeDraggable(card, k, grip);
  }

  fill(card, stage, index) {
    for (const [key] of FACTS) setText(card.querySelector(`[data-fact=${key}]`), stage[key]);
    setText(card.querySelector(".bad"), warning(stage));
    card.classList.toggle("to-come", index > this.at);
    const go = card.querySelector(".go");
    if (index === this.at) setAttribute(go, "aria-current", "step");
    else go.removeAttribute("aria-current");
    const hold = card.querySelector("input");
    if (hold) hold.checked = this.ties[index - 1].held;
  }

  shift(from, to) {
    if (to < 0 || to >= this.ties.length || to === from) return;
    const order = this.ties.map((_, index) => index);
    order.splice(to, 0, ...order.splice(from, 1));
    this.hooks.reorder(order);
  }

  // A mouse drags the whole card; a finger the grip alone, else the page could not be scrolled here.
  makeDraggable(card, k, grip) {
    let from = null;
    card.addEventListener("pointerdown", (event) => {
      if (event.button !== 0 || (event.pointerType === "touch" && event.target !== grip)) return;
      if (!event.target.closest(".go, .grip")) return;
      from = [event.clientX, event.clientY];
    });
    card.addEventListener("pointermove", (event) => {
      if (!from) return;
      const by = [event.clientX - from[0], event.clientY - from[1]];
      if (!card.classList.contains("dragged") && Math.hypot(...by) < 6) return;
      card.setPointerCapture(event.pointerId);
      card.classList.add("dragged");
      card.style.transform = `translate(${by[0]}px, ${by[1]}px)`;
    });
    const end = (event) => {
      if (from && card.classList.contains("dragged") && event.type === "pointerup") {
        this.shift(k, this.placeAt(card, event));
      }
      from = null;
      card.classList.remove("dragged");
      card.style.transform = "";
    };
    card.addEventListener("pointerup", end);
    card.addEventListener("pointercancel", end);
  }

  // The tie whose card's middle is nearest to where the dragged one was dropped.
  placeAt(dragged, event) {
    dragged.style.transform = "";
    const away = [...this.list.children].slice(1).map((card) => {
      const box = card.getBoundingClientRect();
      return Math.hypot(box.x + box.width / 2 - event.clientX, box.y + box.height / 2 - event.clientY);
    });
    return away.indexOf(Math.min(...away));
  }
}
