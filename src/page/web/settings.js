// What is repaired with what: constructs, case, start, the case's numbers, lost parts.

import { Refused } from "./ask.js";
import { byId, el, setAttribute, setText, whenNew } from "./dom.js";

// hooks: edit(state -> void, key), preview(path, value, time), set(path, value), rename(construct, name),
// refuse(path, text), fail(error)
export class Settings {
  constructor(hooks, { most, built_in: builtIn }) {
    this.hooks = hooks;
    this.most = most; // constructs side by side
    this.fields = new Map(); // parameter path -> {show(parameter)}
    this.naming = null; // the name that is being typed
    this.fillNames("construct", builtIn.constructs);
    this.fillNames("case", builtIn.cases);
    byId("add-construct").addEventListener("click", () => this.builtIn("construct", (file) => this.addConstruct(file)));
    byId("use-case").addEventListener("click", () => this.builtIn("case", (file) => this.useCase(file)));
    byId("open-construct").addEventListener("click", () => pickFile((file) => this.addConstruct(file)));
    byId("open-case").addEventListener("click", () => pickFile((file) => this.useCase(file)));
    for (const what of ["case", "construct"]) {
      const field = byId(`rename-${what}`);
      field.addEventListener("input", () => { this.naming = field; });
      field.addEventListener("blur", () => { this.naming = null; });
      field.addEventListener("change", () => {
        this.naming = null;
        hooks.rename(what === "construct", field.value);
      });
    }
    for (const input of document.querySelectorAll("input[name=from]")) {
      input.addEventListener("change", () => hooks.edit((state) => { state.from = input.value; }));
    }
    for (const input of document.querySelectorAll("input[name=settled]")) {
      input.addEventListener("change", () => hooks.edit((state) => { state.settled = input.value === "true"; }));
    }
  }

  fillNames(kind, names) {
    byId(`${kind}-names`).replaceChildren(...names.map((name) => el("option", { value: name }, name)));
  }

  async builtIn(kind, use) {
    const name = byId(`${kind}-names`).value;
    try {
      const response = await fetch(`built-in/${kind}/${encodeURIComponent(name)}`);
      if (!response.ok) throw new Refused(`There is no built-in ${name}.`);
      use({ name, text: await response.text() });
    } catch (error) {
      this.hooks.fail(error);
    }
  }

  useCase(file) {
    this.hooks.edit((state) => { state.case = file; });
  }

  addConstruct(file) {
    this.hooks.edit((state) => {
      if (state.constructs.length >= this.most) return;
      state.constructs.push(file);
      showConstruct(state, state.constructs.length - 1);
    });
  }

  show(answer) {
    const { state } = answer;
    setText(byId("case-name"), `Case: ${answer.case_name}`);
    for (const [what, { name }] of [["case", state.case], ["construct", state.constructs[state.shown]]]) {
      const field = byId(`rename-${what}`);
      if (field !== this.naming) field.value = name; // a half-typed name is left alone
    }
    byId("add-construct").disabled = byId("open-construct").disabled = state.constructs.length >= this.most;
    document.querySelector(`input[name=from][value=${state.from}]`).checked = true;
    document.querySelector(`input[name=settled][value=${state.settled}]`).checked = true;
    this.showConstructs(state, answer.table.head);
    this.showParameters(answer.parameters);
    this.showParts(answer.parts, state.lost);
  }

  showConstructs(state, names) {
    const host = byId("constructs");
    whenNew(host, names, () => rebuild(host, names.map((name, index) => el("div", { class: "row" },
      el("label", {},
        el("input", {
          type: "radio", name: "shown", value: String(index),
          onchange: () => this.hooks.edit((next) => showConstruct(next, index)),
        }),
        ` ${name}`),
      el("button", {
        "aria-label": `Remove ${name}`,
        disabled: names.length === 1,
        onclick: () => this.hooks.edit((next) => {
          next.constructs.splice(index, 1);
          if (next.shown === index || next.shown >= next.constructs.length) showConstruct(next, 0);
          else if (next.shown > index) next.shown -= 1;
        }),
      }, "Remove")))));
    host.querySelector(`input[value="${state.shown}"]`).checked = true;
  }

  showParameters(parameters) {
    const host = byId("parameters");
    const shape = parameters.map(({ path, group, label, unit, choices, backing }) =>
      [path, group, label, unit, choices, backing]);
    whenNew(host, shape, () => {
      this.fields.clear();
      const groups = [...new Set(parameters.map((parameter) => parameter.group))];
      host.replaceChildren(...groups.map((group) => el("fieldset", {}, el("legend", {}, group),
        ...parameters.filter((parameter) => parameter.group === group).map((parameter) => this.field(parameter)))));
    });
    for (const parameter of parameters) this.fields.get(parameter.path).show(parameter);
  }

  field(parameter) {
    return parameter.choices ? this.choice(parameter) : this.slider(parameter);
  }

  choice({ path, label, choices }) {
    const inputs = choices.map((value) =>
      el("input", { type: "radio", name: path, value, onchange: () => this.hooks.set(path, value) }));
    this.fields.set(path, { show: ({ value }) => inputs.forEach((input) => { input.checked = input.value === value; }) });
    return el("div", { class: "choice", role: "radiogroup", "aria-label": label },
      el("span", { "aria-hidden": "true" }, label),
      ...inputs.map((input) => el("label", {}, input, ` ${input.value}`)));
  }

  slider({ path, label, unit, backing }) {
    const id = `field-${path.replaceAll(".", "-")}`;
    const range = el("input", {
      type: "range", "aria-label": unit ? `${label}, ${unit}` : label,
      oninput: (event) => {
        number.value = range.value;
        this.hooks.preview(path, Number(range.value), event.timeStamp);
      },
      onchange: () => this.hooks.set(path, Number(range.value)),
    });
    let typing = false; // a half-typed number is left alone
    const number = el("input", {
      type: "text", inputmode: "decimal", autocomplete: "off", id, // takes finer values than the slider
      oninput: () => { typing = true; },
      onchange: () => {
        typing = false;
        const value = read(number.value);
        if (value === null) this.hooks.refuse(path, number.value);
        else this.hooks.set(path, value);
      },
    });
    this.fields.set(path, { show: (parameter) => showSlider(range, typing ? null : number, parameter) });
    return el("div", { class: "field" }, el("label", { for: id }, label,
      ...(backing ? [el("span", { class: "backing" }, ` (${backing})`)] : [])), range, number, el("span", { class: "unit" }, unit));
  }

  showParts(parts, lost) {
    const host = byId("parts");
    whenNew(host, parts, () => rebuild(host, parts.map(({ kind, name }) => el("label", { class: "check" },
      el("input", { type: "checkbox", value: name, onchange: (event) => this.lose(name, event.target.checked) }),
      `${kind} ${name}`))));
    for (const input of host.querySelectorAll("input")) input.checked = lost.includes(input.value);
  }

  lose(name, gone) {
    this.hooks.edit((state) => {
      state.lost = state.lost.filter((other) => other !== name);
      if (gone) state.lost.push(name);
    });
  }
}

// Another construct has other ties and parts: what was tied or lost does not carry over.
export function showConstruct(state, index) {
  state.shown = index;
  state.tied = null;
  state.lost = [];
}

// A number with a point or a comma; what the files take too: a time on the clock, a percentage.
function read(text) {
  const plain = text.trim().replace(",", ".");
  if (/^\d{1,2}:\d\d$/.test(plain)) return plain;
  if (/^[\d.]+ ?%$/.test(plain)) return plain.replace(/ ?%$/, " %");
  return plain === "" || Number.isNaN(Number(plain)) ? null : Number(plain);
}

function showSlider(range, number, { value, low, high, step, unit, words }) {
  setAttribute(range, "min", String(low));
  setAttribute(range, "max", String(high));
  setAttribute(range, "step", String(step));
  setAttribute(range, "aria-valuetext", words ?? `${value} ${unit}`.trim());
  // A slider under the hand is ahead of the answer.
  if (!range.matches(":active")) range.value = value;
  if (!number) return;
  number.value = words ?? value;
}

// Everything but the legend.
function rebuild(fieldset, nodes) {
  fieldset.replaceChildren(fieldset.querySelector("legend"), ...nodes);
}

function pickFile(use) {
  const input = el("input", { type: "file", accept: ".toml,text/plain" });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (file) use({ name: file.name.replace(/\.toml$/i, ""), text: await file.text() });
  });
  input.click();
}
