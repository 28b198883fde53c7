/* What CSS and htmx cannot do: the address, the hand on the picture, files dropped on the page. No geometry. */
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const say = (text) => { byId("said").textContent = text; };
  const NO_ANSWER = "There is no answer: is flangelayout serve still running?";

  /* Files are of what stands in the fields: while no answer to the last change is there, they cannot be taken, and
     a band says that what is shown is older. */
  let edits = 0;
  let older = "";
  const asked = new WeakMap();
  const BANDS = {
    "": () => "",
    waiting: () => "Wait: the drawing, the checks and the files are of what stood in the fields before.",
    refused: (reason) => `${reason} No file was made.`,
    failed: (reason) => `${reason} The drawing and the checks are of what stood in the fields before; no files until there is an answer.`,
  };
  const age = (how, reason) => {
    older = how === "refused" ? "" : how;
    document.body.dataset.older = how;
    byId("band-text").textContent = BANDS[how](reason);
    byId("again").hidden = how !== "failed";
    deaden();
  };
  const deaden = () => {
    for (const each of document.querySelectorAll("[data-current]")) each.disabled = Boolean(older);
    for (const link of document.querySelectorAll("[data-current] a")) {
      if (older && link.href) { link.dataset.href = link.getAttribute("href"); link.removeAttribute("href"); }
      else if (!older && link.dataset.href) { link.setAttribute("href", link.dataset.href); delete link.dataset.href; }
    }
  };
  document.addEventListener("input", (event) => {
    if (!event.target.name || event.target.form !== byId("job")) return;
    edits += 1;
    age("waiting");
  }, true);
  document.addEventListener("click", (event) => { if (event.target.id === "again") byId("job").requestSubmit(byId("look")); });
  const plain = (html) => {
    const kept = new DOMParser().parseFromString(html || "", "text/html");
    for (const each of kept.querySelectorAll(".kept")) each.remove();
    return kept.body.textContent.trim();
  };

  /* A file is made from the fields as they are at the press; one that has been overtaken by a change is not kept. */
  const take = async (event) => {
    event.preventDefault();
    event.stopImmediatePropagation();
    if (older) return;
    const at = edits;
    const fields = new URLSearchParams(new FormData(byId("job")));
    const where = event.submitter.getAttribute("formaction");
    document.body.dataset.taking = "yes";
    byId("band-text").textContent = "The file is being made.";
    try {
      const answer = await fetch(`${where}?${fields}`, { headers: { "HX-Request": "true" } });
      const content = answer.ok ? await answer.blob() : null;
      if (at !== edits) say("A field was changed while the file was made, so it was not kept; take it again.");
      else if (content) { keep(content, answer.headers.get("content-disposition")); age(""); }
      else age("refused", plain(await answer.text()));
    } catch { if (at === edits) age("refused", NO_ANSWER); }
    delete document.body.dataset.taking;
  };
  const keep = (content, disposition) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(content);
    link.download = decodeURIComponent(disposition.split("filename*=UTF-8''")[1]);
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  };

  let editing = false;
  let shown = location.search;

  /* The address follows the job: one step back for each finished edit. */
  const follow = () => {
    const address = byId("address");
    if (!address) return;
    document.title = address.dataset.title;
    if (address.search === shown) return;
    shown = address.search;
    history.replaceState(null, "", address.pathname + address.search);
  };
  const keepStep = () => history.pushState(null, "", location.pathname + shown);
  document.addEventListener("input", (event) => {
    if (!event.target.name || editing) return;
    editing = true;
    keepStep();
  }, true);
  document.addEventListener("change", () => { editing = false; }, true);
  document.addEventListener("submit", (event) => {
    if (event.submitter && event.submitter.hasAttribute("formaction")) { take(event); return; }
    editing = false;
    edits += 1;
    age("waiting");
    keepStep();
  }, true);
  window.addEventListener("popstate", () => { if (location.search !== shown) location.reload(); });

  /* While a button is being obeyed nothing else is asked: what it does must not be overtaken by a keystroke. */
  let obeying = null;
  document.addEventListener("htmx:config:request", (event) => {
    const ctx = event.detail.ctx;
    delete ctx.request.headers["HX-Current-URL"];
    if (ctx.sourceElement.id !== "job") return;
    if (obeying) event.preventDefault();
    else if (ctx.sourceEvent.type === "submit") obeying = ctx;
    asked.set(ctx, edits);
  });
  document.addEventListener("htmx:finally:request", (event) => {
    const ctx = event.detail.ctx;
    const made = ctx === obeying;
    if (made) obeying = null;
    if (!asked.has(ctx)) return;
    if (ctx.status === "swapped" && ctx.response && ctx.response.status === 200) {
      if (made || asked.get(ctx) === edits) age(""); else age("waiting");
    } else if (made || asked.get(ctx) === edits) {
      age("failed", ctx.response ? plain(ctx.text) : NO_ANSWER);
    }
  });

  /* A button makes all fields anew: what was unfolded stays so, and the hand goes where it is needed. */
  let unfolded = [];
  document.addEventListener("htmx:before:swap", () => {
    unfolded = [...document.querySelectorAll("details[open]")].map((each) => each.id);
  });
  document.addEventListener("htmx:after:swap", (event) => {
    if (event.target.id !== "job") return;
    const hand = byId("hand");
    if (hand && hand.dataset.focus !== undefined && !hand.dataset.done) {
      unfolded.forEach((id) => { const each = byId(id); if (each) each.open = true; });
      const acted = hand.dataset.focus;
      hand.dataset.done = "yes";
      if (acted) go(acted);
    }
    mark();
    follow();
    deaden();
  });

  /* What is wrong or filled in stands in one list; each field shows its own, or its hint. */
  const mark = () => {
    const list = byId("notes");
    if (!list) return;
    const said = new Map([...list.children].map((each) => [each.dataset.for, each]));
    for (const note of document.querySelectorAll(".note[data-hint]")) {
      const one = said.get(note.id);
      const css = `note ${one ? one.className : "help"}`;
      const text = one ? one.textContent : note.dataset.hint;
      if (note.className !== css) note.className = css;
      if (note.textContent !== text) note.textContent = text;
      const field = byId(note.id.slice(0, -5));
      if (!field) continue;
      if (one && one.className === "wrong") field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  };

  const go = (id) => {
    const target = byId(id);
    if (!target) return;
    for (let each = target.closest("details"); each; each = each.parentElement.closest("details")) each.open = true;
    const field = target.matches("input, select, textarea, a, button") ? target : target.querySelector("input, select, textarea") || target;
    field.focus({ preventScroll: true });
    if (field.select && field.type !== "radio") field.select();
    const box = field.getBoundingClientRect();
    if (box.top < 0 || box.bottom > innerHeight) field.scrollIntoView({ block: "center" });
  };

  const tell = (hole) => { const readout = byId("readout"); if (readout) readout.textContent = hole.getAttribute("aria-label"); };

  /* Two touched holes choose the pair. */
  const touch = (number) => {
    const from = byId("n-from"), to = byId("n-to");
    if (!from.value || to.value) { from.value = number; to.value = ""; }
    else if (from.value === number) { from.value = ""; }
    else { to.value = number; }
    const pair = from.value && to.value;
    say(pair ? `Holes ${from.value} and ${to.value}: write the reading` : from.value ? `Hole ${from.value}: now the second hole` : "No hole chosen");
    from.dispatchEvent(new Event("input", { bubbles: true }));
    from.dispatchEvent(new Event("change", { bubbles: true }));
    if (pair) go("n-value");
  };

  document.addEventListener("click", (event) => {
    const at = event.target.closest("[data-tap], [data-field], [data-hole]");
    if (!at) return;
    if (at.dataset.tap) { event.preventDefault(); touch(at.dataset.tap); }
    else if (at.dataset.field) { event.preventDefault(); go(at.dataset.field); }
    else { tell(at); at.focus({ preventScroll: true }); }
  });
  for (const name of ["mouseover", "focusin"]) {
    document.addEventListener(name, (event) => {
      const hole = event.target.closest && event.target.closest("[data-hole]");
      if (hole) tell(hole);
    });
  }

  /* Some choices decide which fields there are: the fields are made anew. */
  document.addEventListener("change", (event) => {
    if (event.target.matches("[data-remakes]")) event.target.form.requestSubmit(byId("look"));
  });

  /* In a picture the arrow keys go from hole to hole. */
  document.addEventListener("keydown", (event) => {
    const at = document.activeElement;
    if (!at) return;
    if (event.key === " " && at.dataset.tap) { event.preventDefault(); touch(at.dataset.tap); return; }
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step || !at.dataset.hole) return;
    event.preventDefault();
    const holes = [...at.parentElement.querySelectorAll("[data-hole]")];
    const next = holes[(holes.indexOf(at) + step + holes.length) % holes.length];
    at.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus({ preventScroll: true });
  });

  /* A job file chosen or dropped is sent as it is; the answer is the address of the page with its job. */
  const open = async (file) => {
    if (!file) return;
    const note = byId("open-note");
    try {
      const answer = await fetch("/open", { method: "POST", body: file });
      const said = (answer.headers.get("content-type") || "").startsWith("application/json") ? await answer.json() : { reason: await answer.text() };
      if (said.address) { location.assign(said.address); return; }
      note.textContent = answer.status === 422 ? said.reason : "The file is too large for this page.";
    } catch { note.textContent = "The page does not answer."; }
    note.className = "note wrong";
    note.scrollIntoView({ block: "nearest" });
    say(note.textContent);
  };
  document.addEventListener("change", (event) => { if (event.target.id === "open-file") open(event.target.files[0]); });
  document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("dropping"); });
  document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("dropping"); });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    open(event.dataTransfer.files[0]);
  });

  document.addEventListener("DOMContentLoaded", mark);
  if (document.readyState !== "loading") mark();
})();
