// What can be taken away: texts, figures, command lines.

import { byId, el, setText, whenNew } from "./dom.js";
import { post } from "./ask.js";

function download(name, blob) {
  const url = URL.createObjectURL(blob);
  el("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

let saved = null; // the state whose texts the buttons save, and the names of its files
const saveText = (name, { text }) => download(name, new Blob([text], { type: "text/plain" }));

// hooks: state(), note(text), fail(error)
export function wireSaving(hooks) {
  byId("save-figure").addEventListener("click", async () => {
    const [figure, format] = [byId("figure").value, byId("format").value];
    hooks.note("Drawing …");
    try {
      const response = await post("figure", { state: hooks.state(), figure, format });
      const name = response.headers.get("content-disposition").match(/filename="(.*)"/)[1];
      download(name, await response.blob());
      hooks.note("Saved");
    } catch (error) {
      hooks.fail(error);
    }
  });
  byId("copy-command").addEventListener("click", () =>
    copy(byId("command").textContent, "Command lines copied", hooks.note));
}

export async function copy(text, said, note) {
  try {
    await navigator.clipboard.writeText(text);
    note(said);
  } catch {
    note("The browser does not allow copying; select the text instead");
  }
}

export function showSaving({ state, command, files }) {
  setText(byId("command"), command.join("\n"));
  const host = byId("texts");
  // The texts change with every drag: the buttons look them up when pressed.
  saved = { state, files };
  whenNew(host, files, () => host.replaceChildren(
    el("button", { onclick: () => saveText(saved.files.case, saved.state.case) }, `Save ${files.case}`),
    ...files.constructs.map((file, index) =>
      el("button", { onclick: () => saveText(saved.files.constructs[index], saved.state.constructs[index]) },
        `Save ${file}`))));
}
