/* What CSS and htmx cannot do: the address, the pad, files dropped on the page, and that nothing older than the
   fields can be taken. No geometry. */
"use strict";
(() => {
  const byId = (id) => document.getElementById(id);
  const say = (text) => { byId("said").textContent = text; };
  const NO_ANSWER = "There is no answer: is flangelayout serve still running?";

  /* Files are of what stands in the fields: while no answer to the last change is there, they cannot be taken, and
     a band across the picture says that what is shown is older. */
  let edits = 0;
  let older = "";
  let why = "";
  const asked = new WeakMap();
  const age = (how, reason) => {
    older = how === "refused" ? "" : how;
    why = reason || "";
    document.body.dataset.older = how;
    band();
    deaden();
  };
  const band = () => {
    const how = document.body.dataset.older;
    const said = {
      waiting: "Drawing again. What is shown is of what stood in the fields before.",
      failed: `${why} What is shown is of what stood in the fields before; no files until there is an answer.`,
      refused: `${why} No file was made.`,
    }[how] || "";
    let words = byId("band-text");
    if (!words) {
      const box = document.createElement("div");
      box.className = "banner";
      words = document.createElement("p");
      words.id = "band-text";
      words.setAttribute("role", "status");
      const again = document.createElement("button");
      again.type = "button";
      again.id = "again";
      again.textContent = "Try again";
      const stop = document.createElement("button");
      stop.type = "button";
      stop.id = "stop";
      stop.textContent = "Stop";
      box.append(words, again, stop);
      document.body.append(box);
    }
    words.textContent = said;
    byId("again").hidden = how !== "failed";
    byId("stop").hidden = !("taking" in document.body.dataset);
  };
  const deaden = () => {
    for (const each of document.querySelectorAll("[data-current]")) {
      if (older) { if (!each.disabled) { each.disabled = true; each.dataset.dead = "yes"; } }
      else if (each.dataset.dead) { each.disabled = false; delete each.dataset.dead; }
    }
    for (const link of document.querySelectorAll("[data-current] a")) {
      if (older && link.href) { link.dataset.href = link.getAttribute("href"); link.removeAttribute("href"); }
      else if (!older && link.dataset.href) { link.setAttribute("href", link.dataset.href); delete link.dataset.href; }
    }
  };
  document.addEventListener("input", (event) => {
    if (!event.target.name || event.target.form !== byId("job")) return;
    overtaken();
  }, true);
  document.addEventListener("click", (event) => { if (event.target.id === "again") act("look"); });
  const plain = (html) => new DOMParser().parseFromString(html || "", "text/html").body.textContent.trim();

  /* A button of the page by the name of its deed, wherever it was pressed. */
  const act = (deed) => {
    const button = byId("deed");
    button.value = deed;
    byId("job").requestSubmit(button);
  };

  /* What takes long is waited for with a word on how far it is; Stop, or another change, ends the work itself. */
  let stopping = null;
  const waited = async (where, doing, options) => {
    stopping = new AbortController();
    const run = [...crypto.getRandomValues(new Uint8Array(12))].map((each) => each.toString(16).padStart(2, "0")).join("");
    document.body.dataset.taking = "yes";
    band();
    const begun = Date.now();
    let far = "";
    const tell = () => { byId("band-text").textContent = `${doing}${far && `: ${far}`}, ${Math.round((Date.now() - begun) / 1000)} s`; };
    tell();
    const clock = setInterval(async () => {
      tell();
      try { const answer = await fetch(`/progress/${run}`); if (answer.ok) far = await answer.text(); } catch { far = ""; }
    }, 1000);
    try {
      const answer = await fetch(where, { ...options, headers: { "HX-Request": "true", run }, signal: stopping.signal });
      return { name: answer.ok && answer.headers.get("content-disposition"), content: answer.ok ? await answer.blob() : null, reason: answer.ok ? "" : plain(await answer.text()) };
    } catch (problem) {
      return { content: null, reason: problem.name === "AbortError" ? "Stopped." : NO_ANSWER };
    } finally {
      clearInterval(clock);
      delete document.body.dataset.taking;
    }
  };
  const overtaken = () => {
    edits += 1;
    if (stopping) stopping.abort();
    age("waiting");
  };
  document.addEventListener("click", (event) => { if (event.target.id === "stop" && stopping) stopping.abort(); });

  /* A file is made from the fields as they are at the press; one that has been overtaken by a change is not kept. */
  const take = async (event) => {
    event.preventDefault();
    event.stopImmediatePropagation();
    if (older || "taking" in document.body.dataset) return;
    const at = edits, form = event.target;
    const where = event.submitter.getAttribute("formaction");
    const fields = new FormData(form);
    const made = form.method === "post"
      ? await waited(where, "The files are being made", { method: "POST", body: fields })
      : await waited(`${where}?${new URLSearchParams(fields)}`, "The file is being made");
    if (at !== edits) say("A field was changed while the file was made, so it was not kept; take it again.");
    else if (made.content) keep(made.content, made.name);
    if (at !== edits) band(); else if (made.content) age(""); else age("refused", made.reason);
  };

  /* A drawing of many holes is drawn when it is asked for. */
  document.addEventListener("click", async (event) => {
    const button = event.target.closest("[data-draw]");
    if (!button || "taking" in document.body.dataset) return;
    const at = edits;
    const drawn = await waited(button.dataset.draw, "Drawing");
    if (at !== edits) return;
    if (!drawn.content) { age("refused", drawn.reason); return; }
    const html = await drawn.content.text();
    if (at === edits && byId("view")) byId("view").outerHTML = html;
    age("");
    window.bench.lay();
  });
  const keep = (content, disposition) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(content);
    link.download = decodeURIComponent(disposition.split("filename*=UTF-8''")[1]);
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(`${link.download} was taken`);
  };

  /* The address follows the job: one step back for each finished edit. */
  let editing = false;
  let shown = location.search;
  let place = location.pathname;
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
    if (event.target.id !== "job") return;
    editing = false;
    overtaken();
    keepStep();
  }, true);
  window.addEventListener("popstate", () => { if (location.search !== shown || location.pathname !== place) location.reload(); });

  /* While a button is being obeyed nothing else is asked: what it does must not be overtaken by a keystroke. */
  let obeying = null;
  document.addEventListener("htmx:config:request", (event) => {
    const ctx = event.detail.ctx;
    delete ctx.request.headers["HX-Current-URL"];
    if (ctx.sourceElement.id !== "job") return;
    const idle = ctx.sourceEvent.type === "input" && older !== "waiting"; // a file or a word of the finder is no field
    if (obeying || idle) event.preventDefault();
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
    unfolded.forEach((id) => { const each = id && byId(id); if (each && !each.open) each.open = true; });
    if (event.target.id === "job") {
      const hand = byId("hand");
      if (hand && !hand.dataset.done) {
        hand.dataset.done = "yes";
        if (hand.dataset.focus) go(hand.dataset.focus);
      }
      byPad();
    }
    mark(event.target.id === "job");
    follow();
    deaden();
    revise();
  });

  /* What is wrong or filled in stands in one list; each field shows its own, or its hint. What is wrong in the field
     that is being written is told when the hand rests. */
  let resting = 0;
  const mark = (now) => {
    clearTimeout(resting);
    const list = byId("notes");
    if (!list) return;
    const said = new Map([...list.children].map((each) => [each.dataset.for, each]));
    const show = (note) => {
      const one = said.get(note.id);
      const css = `note ${one ? one.className : "help"}`;
      const text = one ? one.textContent : note.dataset.hint;
      if (note.className !== css) note.className = css;
      if (note.textContent !== text) note.textContent = text;
      const field = byId(note.id.slice(0, -5));
      if (!field) return;
      if (one && one.className === "wrong") field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    };
    const later = [];
    for (const note of document.querySelectorAll(".note[data-hint]")) {
      const one = said.get(note.id);
      if (!now && editing && one && one.className === "wrong") later.push(note); else show(note);
    }
    if (later.length) resting = setTimeout(() => later.forEach(show), 700);
  };
  document.addEventListener("focusout", (event) => { if (event.target.matches && event.target.matches("input, textarea")) mark(true); });

  const go = (id) => {
    const target = byId(id);
    if (!target) return;
    for (let each = target.closest("details"); each; each = each.parentElement.closest("details")) each.open = true;
    const field = target.matches("input, select, textarea, a, button") ? target : target.querySelector("input, select, textarea") || target;
    const inPad = field.closest(".pad");
    if (inPad && coarse()) field.inputMode = "none";
    field.focus({ preventScroll: true });
    if (field.select && field.type !== "radio" && inPad) field.select();
    const box = field.getBoundingClientRect();
    if (box.top < 0 || box.bottom > innerHeight) field.scrollIntoView({ block: "center" });
  };

  /* The pad writes into the field above it; a finger gets no second keyboard. */
  const coarse = () => matchMedia("(pointer: coarse)").matches;
  const padInput = () => document.querySelector(".pad .writing input:not([type=hidden])");
  const byPad = () => { const field = padInput(); if (field && coarse()) field.inputMode = "none"; };
  const type = (field, key) => {
    const from = field.selectionStart ?? field.value.length, to = field.selectionEnd ?? field.value.length;
    const text = field.value;
    if (key === "back") {
      const at = from === to ? Math.max(0, from - 1) : from;
      field.value = text.slice(0, at) + text.slice(to);
      field.setSelectionRange(at, at);
    } else if (key === "in" || key === "mm") {
      const bare = text.replace(/\s*(mm|in)$/, "");
      field.value = text.endsWith(key) ? bare : `${bare} ${key}`;
    } else {
      field.value = text.slice(0, from) + key + text.slice(to);
      field.setSelectionRange(from + 1, from + 1);
    }
    field.dispatchEvent(new Event("input", { bubbles: true }));
  };
  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]");
    const field = padInput();
    if (key && field) type(field, key.dataset.key);
  });
  document.addEventListener("pointerdown", (event) => { if (event.target.closest("[data-key]")) event.preventDefault(); });
  document.addEventListener("keydown", (event) => {
    const field = padInput();
    const typing = document.activeElement && document.activeElement.matches("input, textarea, select");
    if (field && !typing && /^[0-9.,]$/.test(event.key) && !event.ctrlKey && !event.metaKey && !event.altKey) {
      field.focus({ preventScroll: true });
    }
    if (event.key === "Escape") {
      if (document.querySelector(".settings-open")) act("group:");
      else if (document.querySelector("input[name=edit]")) act("edit:");
    }
  });

  document.addEventListener("click", (event) => {
    const at = event.target.closest("[data-field]");
    if (at) { event.preventDefault(); go(at.dataset.field); }
  });

  /* Some choices decide which fields there are: the fields are made anew. */
  document.addEventListener("change", (event) => {
    if (event.target.matches("[data-remakes]")) act("look");
  });

  /* A finder over everything the job may hold. */
  document.addEventListener("input", (event) => {
    if (event.target.id !== "sought") return;
    const words = event.target.value.toLowerCase().split(/\s+/).filter(Boolean);
    document.body.classList.toggle("seeking", words.length > 0);
    for (const each of document.querySelectorAll("[data-sought]")) {
      each.classList.toggle("not-it", !words.every((word) => each.dataset.sought.includes(word)));
    }
    for (const group of document.querySelectorAll(".key-group")) {
      group.classList.toggle("empty", words.length > 0 && !group.querySelector("[data-sought]:not(.not-it)"));
    }
    byId("none-sought").hidden = !words.length || Boolean(document.querySelector(".key-group:not(.empty)"));
  });

  /* Taken under a number and revision and changed since: the next revision is offered. */
  const revise = () => {
    const bar = byId("bar");
    const button = byId("take-packet");
    if (!bar || !bar.dataset.digest || !button || !button.hasAttribute("formaction")) return;
    const before = sessionStorage.getItem(`taken ${bar.dataset.currentName}`);
    if (before && before !== bar.dataset.digest) {
      button.removeAttribute("formaction");
      button.name = "do";
      button.value = "revise";
      button.textContent = "Other contents: next revision";
    }
  };
  document.addEventListener("click", (event) => {
    const bar = byId("bar");
    const at = event.target.closest("#take-packet[formaction]");
    if (at && bar.dataset.digest) sessionStorage.setItem(`taken ${bar.dataset.currentName}`, bar.dataset.digest);
  });

  /* A job file or a sheet, chosen or dropped, is sent as it is; the answer is the address of the page with its job. */
  const open = async (file) => {
    if (!file) return;
    if (/\.(csv|xlsx)$/i.test(file.name)) { openList(file); return; }
    const tell = (text) => {
      const note = byId("open-note");
      if (note) { note.textContent = text; note.className = "note wrong"; note.scrollIntoView({ block: "nearest" }); }
      else age("refused", text);
      say(text);
    };
    try {
      const answer = await fetch("/open", { method: "POST", body: file });
      const said = (answer.headers.get("content-type") || "").startsWith("application/json") ? await answer.json() : { reason: await answer.text() };
      if (said.address) { location.assign(said.address); return; }
      if (said.list) { openList(file); return; }
      tell(answer.status === 422 ? said.reason : "The file is too large for this page.");
    } catch { tell("The page does not answer."); }
  };

  /* A list stays on its page: what is asked of it is sent with it. */
  const showList = async (body) => {
    const made = await waited("/list", "Reading the list", { method: "POST", body });
    if (!made.content) { age("refused", made.reason); return; }
    const html = await made.content.text();
    if (place !== "/list") history.pushState(null, "", "/list");
    place = "/list";
    shown = "";
    (byId("list") || byId("job")).outerHTML = html;
    document.title = byId("list").dataset.title;
    const laid = document.querySelector("#list .sheets");
    if (laid) laid.scrollIntoView({ block: "nearest" }); else scrollTo(0, 0);
    age("");
  };
  const openList = (file) => { const body = new FormData(); body.append("file", file); showList(body); };
  document.addEventListener("submit", (event) => {
    if (event.target.id !== "list" || event.submitter.hasAttribute("formaction")) return;
    event.preventDefault();
    showList(new FormData(event.target, event.submitter));
  });
  document.addEventListener("change", (event) => { if (event.target.id === "open-file") open(event.target.files[0]); });
  document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("dropping"); });
  document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("dropping"); });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    open(event.dataTransfer.files[0]);
  });

  window.bench = { act, go };
  const begun = () => { band(); mark(true); byPad(); revise(); };
  document.addEventListener("DOMContentLoaded", begun);
  if (document.readyState !== "loading") begun();
})();
