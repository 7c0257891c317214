// The two views: the program's drawing, and over it the handles, the fragment's outline and the push.

import { byId, el, setAttribute, setSvg, setText } from "./dom.js";

const SVG = "http://www.w3.org/2000/svg";
const REACH = { mouse: 12, pen: 14, touch: 22 }; // px from a handle's middle
const LAST_FIRST = 8; // px by which the handle that was held last, in either view, is preferred among near ones
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const VIEW_NAMES = { face: "en face", section: "section" };

function svg(tag, attributes) {
  const node = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

// hooks: move(handle, by, time), drop(), cancel(), nudge(handle, by), push(view, by, time), letGo()
export class Drawing {
  constructor(hooks) {
    this.hooks = hooks;
    this.panes = ["face", "section"].map((name) => new Pane(name, this));
  }

  // `views` is given when another drawing than the answer's own is to be seen (after letting go).
  show(answer, views) {
    views ??= answer.views;
    const pushed = views === answer.views ? answer.pushed : null;
    for (const pane of this.panes) pane.show(answer, views[pane.name], pushed);
  }

  tell(text) {
    setText(byId("readout"), text);
  }
}

class Pane {
  constructor(name, drawing) {
    this.name = name;
    this.drawing = drawing;
    this.host = byId(name);
    this.marks = new Map(); // handle id -> its element
    this.handles = new Map(); // handle id -> what the answer says of it
    this.drag = null;
    this.build();
  }

  build() {
    this.picture = el("div", { class: "picture", role: "img" });
    this.overlay = svg("svg", { class: "overlay", "aria-hidden": "true" });
    this.outline = svg("polygon", { class: "fragment" });
    this.arrow = svg("path", { class: "push-arrow" });
    this.overlay.append(this.outline, this.arrow);
    this.newtons = el("div", { class: "newtons", hidden: true });
    this.host.append(this.picture, this.overlay, this.newtons);
    this.host.addEventListener("pointerdown", (event) => this.begin(event));
    // Raw moves come at once, others wait for the next frame.
    const move = "onpointerrawupdate" in window ? "pointerrawupdate" : "pointermove";
    this.host.addEventListener(move, (event) => this.follow(event));
    this.host.addEventListener("pointerup", (event) => this.finish(event));
    this.host.addEventListener("pointercancel", (event) => { if (this.drag?.pointer === event.pointerId) this.cancel(); });
    addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !this.drag) return;
      event.preventDefault();
      this.cancel();
    });
    this.buildPushKey();
  }

  // Pushing by keyboard: each arrow key adds a quarter of a millimetre until it is let go.
  buildPushKey() {
    let by = null;
    const letGo = () => {
      if (by) this.drawing.hooks.letGo();
      by = null;
    };
    const key = el("button", {
      class: "push-key",
      "aria-label": `Push the fragment, ${VIEW_NAMES[this.name]}: arrow keys push, Enter lets go`,
      onfocus: () => this.drawing.tell("Push: arrow keys push by 0.25 mm, Enter or Escape lets go."),
      onblur: letGo,
      onkeydown: (event) => {
        const way = ARROWS[event.key];
        if (!way && event.key !== "Enter" && event.key !== "Escape") return;
        event.preventDefault();
        if (!way) {
          if (by) event.stopPropagation();
          return letGo();
        }
        event.stopPropagation();
        by = by ? [by[0] + way[0] / 4, by[1] + way[1] / 4] : [way[0] / 4, way[1] / 4];
        this.drawing.hooks.push(this.name, by, event.timeStamp);
      },
    }, "Push");
    this.host.parentElement.querySelector("figcaption").append(key);
  }

  show(answer, view, pushed) {
    this.view = view;
    const ratio = String(view.width / view.height);
    if (this.host.style.getPropertyValue("--ratio") !== ratio) {
      this.host.parentElement.style.setProperty("--ratio", ratio);
      this.host.style.setProperty("--ratio", ratio);
    }
    setSvg(this.picture, view.svg);
    setAttribute(this.picture, "aria-label", view.alt);
    setAttribute(this.overlay, "viewBox", `0 0 ${view.width} ${view.height}`);
    setAttribute(this.outline, "points", answer.fragment[this.name].map((p) => p.join()).join(" "));
    this.showHandles(answer.handles.filter((handle) => handle.view === this.name));
    this.showPush(pushed);
  }

  showHandles(handles) {
    this.handles = new Map(handles.map((handle) => [handle.id, handle]));
    for (const [id, mark] of this.marks) {
      if (this.handles.has(id)) continue;
      mark.remove();
      this.marks.delete(id);
    }
    for (const handle of handles) {
      if (!this.marks.has(handle.id)) this.addMark(handle);
      const mark = this.marks.get(handle.id);
      const [x, y] = handle.at;
      const along = handle.axes[0] ? 0 : 1;
      mark.style.left = `${(100 * x) / this.view.width}%`;
      mark.style.top = `${(100 * y) / this.view.height}%`;
      setAttribute(mark, "aria-valuemax", String(along ? this.view.height : this.view.width));
      setAttribute(mark, "aria-valuenow", handle.at[along].toFixed(1));
      setAttribute(mark, "aria-valuetext", handle.value);
      if (mark === document.activeElement || this.drag?.id === handle.id) this.describe(handle);
    }
  }

  addMark(handle) {
    const current = () => this.handles.get(handle.id);
    const mark = el("div", {
      class: `handle ${handle.kind}`,
      role: "slider",
      tabindex: "0",
      "aria-label": `${handle.kind} ${handle.name}, ${VIEW_NAMES[this.name]}`,
      "aria-valuemin": "0",
      "data-handle": handle.id,
      "data-view": this.name,
      onfocus: () => {
        this.drawing.last = handle.id;
        this.describe(current());
      },
      onpointerenter: () => this.drag || this.describe(current()),
      onkeydown: (event) => this.nudge(event, current()),
    });
    this.marks.set(handle.id, mark);
    this.host.append(mark);
  }

  describe(handle) {
    this.drawing.tell(`${handle.name}: ${handle.value}`);
  }

  nudge(event, handle) {
    const way = ARROWS[event.key];
    if (!way || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    event.stopPropagation();
    const size = event.shiftKey ? 0.1 : 0.5;
    const by = way.map((part, axis) => (handle.axes[axis] ? part * size : 0));
    if (by[0] || by[1]) this.drawing.hooks.nudge(handle, by);
  }

  showPush(pushed) {
    this.newtons.hidden = !pushed;
    this.arrow.toggleAttribute("hidden", !pushed);
    if (!pushed) return setAttribute(this.arrow, "d", "");
    const [from, to] = pushed[this.name];
    setAttribute(this.arrow, "d", arrowPath(from, to));
    setText(this.newtons, pushed.newtons);
    const within = (part) => `${Math.max(12, Math.min(88, 100 * part))}%`;
    this.newtons.style.left = within(to[0] / this.view.width);
    this.newtons.style.top = within(to[1] / this.view.height);
    // Beyond the arrow's head, so that neither covers the other.
    const [ux, uy] = unit(from, to);
    this.newtons.style.transform = `translate(-50%, -50%) translate(${42 * ux}px, ${26 * uy}px)`;
    this.drawing.tell(pushed.words);
  }

  begin(event) {
    if (!event.isPrimary || event.button !== 0 || !this.view) return;
    // The box is measured once: reading it in every move would force a layout.
    const box = this.host.getBoundingClientRect();
    const handle = this.nearest(event, box);
    if (!handle && event.target !== this.outline) return;
    event.preventDefault();
    this.host.setPointerCapture(event.pointerId);
    const at = this.pageMm(event, box);
    this.drag = { pointer: event.pointerId, id: handle?.id, handle, box, at, scale: this.view.scale, moved: false };
    if (handle) {
      this.drawing.last = handle.id;
      this.marks.get(handle.id).focus({ preventScroll: true });
      this.marks.get(handle.id).classList.add("held");
    }
  }

  follow(event) {
    const drag = this.drag;
    if (drag?.pointer !== event.pointerId) return;
    const at = this.pageMm(event, drag.box);
    const by = [at[0] - drag.at[0], at[1] - drag.at[1]];
    drag.moved ||= Math.hypot(by[0], by[1]) * (drag.box.width / this.view.width) > 2;
    if (!drag.moved) return;
    placeStopped(event.clientX, event.clientY);
    // The drawing may take another scale while something is moved: the one it began with counts.
    const ofBone = [by[0] / drag.scale, -by[1] / drag.scale];
    if (drag.handle) {
      const bone = ofBone.map((part, axis) => (drag.handle.axes[axis] ? part : 0));
      this.drawing.hooks.move(drag.handle, bone, event.timeStamp);
    } else {
      this.drawing.hooks.push(this.name, ofBone, event.timeStamp);
    }
  }

  finish(event) {
    if (this.drag?.pointer !== event.pointerId) return;
    const drag = this.end();
    if (!drag?.moved) return;
    if (drag.handle) this.drawing.hooks.drop();
    else this.drawing.hooks.letGo();
  }

  cancel() {
    if (this.end()?.moved) this.drawing.hooks.cancel();
  }

  end() {
    const drag = this.drag;
    this.drag = null;
    if (drag?.id) this.marks.get(drag.id)?.classList.remove("held");
    return drag;
  }

  pageMm(event, box) {
    return [
      ((event.clientX - box.left) / box.width) * this.view.width,
      ((event.clientY - box.top) / box.height) * this.view.height,
    ];
  }

  // Handles may lie closer together than their hit areas are wide; the nearest one is meant.
  nearest(event, box) {
    const at = this.pageMm(event, box);
    const px = box.width / this.view.width;
    let best = null;
    let least = REACH[event.pointerType] ?? REACH.mouse;
    for (const handle of this.handles.values()) {
      const away = Math.hypot(handle.at[0] - at[0], handle.at[1] - at[1]) * px;
      if (away > (REACH[event.pointerType] ?? REACH.mouse)) continue;
      const counted = handle.id === this.drawing.last ? away - LAST_FIRST : away;
      if (counted <= least) [best, least] = [handle, counted];
    }
    return best;
  }
}

function unit([x0, y0], [x1, y1]) {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  return [(x1 - x0) / length, (y1 - y0) / length];
}

function arrowPath([x0, y0], [x1, y1]) {
  const [ux, uy] = unit([x0, y0], [x1, y1]);
  const head = Math.min(2, Math.hypot(x1 - x0, y1 - y0) / 2);
  const wing = (side) => [x1 - head * ux - side * head * 0.6 * uy, y1 - head * uy + side * head * 0.6 * ux];
  return `M${x0} ${y0}L${x1} ${y1}M${wing(1).join(" ")}L${x1} ${y1}L${wing(-1).join(" ")}`;
}

function placeStopped(x, y) {
  const left = Math.max(8, Math.min(x + 18, innerWidth - 250));
  const top = Math.min(y + 18, innerHeight - 60);
  byId("stopped").style.transform = `translate(${left}px, ${top}px)`;
}

// Where no pointer drags: the words stand at the handle or the field that has the focus.
export function showStopped(text) {
  const box = byId("stopped");
  if (text && document.activeElement?.matches(".handle:not(.held), .field input")) {
    const mark = document.activeElement.getBoundingClientRect();
    placeStopped(mark.right - 18, mark.bottom - 18);
  }
  setText(box, text ?? "");
}
