/* The hand on the picture: tap, arrow keys, wheel and pinch. The zoom is kept across edits. No geometry of flanges. */
"use strict";
(() => {
  let HOME = { x: -180, y: -144, w: 360, h: 306 };
  let read = null;           // the picture whose own frame was read last
  let seen = null;           // the part of the picture that is seen; null fits all
  let wide = 1;              // how much larger than the pane the pages are
  const svg = () => document.querySelector(".flange");
  const pages = () => document.querySelector(".sheets");

  /* Labels keep their size in pixels, however close one looks. */
  const lay = () => {
    const at = svg();
    if (at) {
      if (at !== read) {
        const own = at.viewBox.baseVal;
        HOME = { x: own.x, y: own.y, w: own.width, h: own.height };
        read = at;
      }
      const box = seen || HOME;
      at.setAttribute("viewBox", `${box.x} ${box.y} ${box.w} ${box.h}`);
      const room = at.getBoundingClientRect();
      const scale = Math.min(room.width / box.w, room.height / box.h);
      if (scale > 0) at.style.setProperty("--k", String(Math.min(1.25, 1 / scale)));
    }
    for (const each of document.querySelectorAll(".sheet")) each.style.setProperty("--wide", String(wide));
  };

  const nearer = (factor, clientX, clientY) => {
    const at = svg();
    if (!at) {
      const room = pages();
      if (!room) return;
      const before = wide;
      wide = Math.min(8, Math.max(1, wide * factor));
      const x = (room.scrollLeft + (clientX ?? room.clientWidth / 2)) * (wide / before), y = (room.scrollTop + (clientY ?? room.clientHeight / 2)) * (wide / before);
      lay();
      room.scrollLeft = x - (clientX ?? room.clientWidth / 2);
      room.scrollTop = y - (clientY ?? room.clientHeight / 2);
      return;
    }
    const box = seen || { ...HOME };
    const place = new DOMPoint(clientX ?? 0, clientY ?? 0).matrixTransform(at.getScreenCTM().inverse());
    const fixed = clientX === undefined ? { x: box.x + box.w / 2, y: box.y + box.h / 2 } : place;
    const w = Math.min(HOME.w, Math.max(HOME.w / 24, box.w / factor));
    const by = w / box.w;
    seen = w >= HOME.w * 0.999 ? null : { x: fixed.x - (fixed.x - box.x) * by, y: fixed.y - (fixed.y - box.y) * by, w, h: box.h * by };
    lay();
  };
  const move = (dx, dy) => {
    const at = svg();
    if (!at || !seen) return;
    const unit = seen.w / at.getBoundingClientRect().width;
    const least = Math.max(unit, seen.h / at.getBoundingClientRect().height);
    seen = { ...seen, x: seen.x - dx * least, y: seen.y - dy * least };
    lay();
  };

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-zoom]");
    if (!button) return;
    const way = Number(button.dataset.zoom);
    if (way === 0) { seen = null; wide = 1; lay(); } else nearer(way > 0 ? 1.5 : 1 / 1.5);
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-page]");
    if (button) document.getElementById(`page-${button.dataset.page}`).scrollIntoView({ block: "start", inline: "start" });
  });
  document.addEventListener("wheel", (event) => {
    const inside = event.target.closest && event.target.closest(".view");
    if (!inside || !(event.ctrlKey || event.target.closest("svg.flange"))) return;
    event.preventDefault();
    nearer(Math.exp(-event.deltaY / 400), event.clientX, event.clientY);
  }, { passive: false });

  /* Two fingers pinch, one drags what is zoomed; a finger that only scrolls the page is let be. */
  const fingers = new Map();
  let moved = false;
  let apart = 0;
  const distance = () => { const [a, b] = [...fingers.values()]; return Math.hypot(a.x - b.x, a.y - b.y); };
  document.addEventListener("pointerdown", (event) => {
    if (!event.target.closest(".view")) return;
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    moved = false;
    if (fingers.size === 2) apart = distance();
  });
  document.addEventListener("pointermove", (event) => {
    const last = fingers.get(event.pointerId);
    if (!last) return;
    const now = { x: event.clientX, y: event.clientY };
    if (fingers.size === 1 && seen && event.target.closest(".view")) {
      if (Math.hypot(now.x - last.x, now.y - last.y) < 4 && !moved) return;
      moved = true;
      move(now.x - last.x, now.y - last.y);
    }
    fingers.set(event.pointerId, now);
    if (fingers.size === 2) {
      const [a, b] = [...fingers.values()];
      const wider = distance();
      if (apart > 0 && wider > 0) nearer(wider / apart, (a.x + b.x) / 2, (a.y + b.y) / 2);
      apart = wider;
      moved = true;
    }
  });
  for (const name of ["pointerup", "pointercancel"]) document.addEventListener(name, (event) => fingers.delete(event.pointerId));

  /* A tap goes to the nearest of what can be pressed there. */
  const pressed = (each) => {
    if (each.dataset.do) window.bench.act(each.dataset.do);
    else if (each.dataset.line) {
      const line = document.getElementById(each.dataset.line);
      if (!line) return;
      line.scrollIntoView({ block: "center" });
      line.classList.add("shown");
      setTimeout(() => line.classList.remove("shown"), 1500);
      const button = line.querySelector("button, summary");
      if (button) button.focus({ preventScroll: true });
    }
  };
  document.addEventListener("click", (event) => {
    const at = event.target.closest("svg.flange");
    if (!at || moved) return;
    const direct = event.target.closest(".tag[data-do], .flag[data-line]");
    if (direct) { pressed(direct); return; }
    let best = null, least = 33;
    for (const each of at.querySelectorAll("[data-do], [data-line]")) {
      const box = each.getBoundingClientRect();
      const away = Math.hypot(box.left + box.width / 2 - event.clientX, box.top + box.height / 2 - event.clientY);
      if (away < least) { least = away; best = each; }
    }
    if (best) pressed(best);
  });

  /* The picture is one stop of the keyboard: arrows go round, space and return press. */
  document.addEventListener("keydown", (event) => {
    const at = document.activeElement;
    if (!at || !at.closest || !at.closest("svg.flange") || !(at.dataset.do || at.dataset.line)) return;
    if (event.key === " " || event.key === "Enter") { event.preventDefault(); pressed(at); return; }
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!step) return;
    event.preventDefault();
    const all = [...svg().querySelectorAll("[data-do], [data-line]")];
    const next = all[(all.indexOf(at) + step + all.length) % all.length];
    at.setAttribute("tabindex", "-1");
    next.setAttribute("tabindex", "0");
    next.focus({ preventScroll: true });
  });

  /* Where the hand was on the picture, it is again after the answer. */
  let hand = "";
  document.addEventListener("htmx:before:swap", () => {
    const at = document.activeElement;
    hand = at && at.closest && at.closest("svg.flange") ? at.dataset.do || at.dataset.line || "" : "";
  });
  document.addEventListener("htmx:after:swap", () => {
    lay();
    if (hand && svg() && document.activeElement === document.body) {
      const again = [...svg().querySelectorAll("[data-do], [data-line]")].find((each) => (each.dataset.do || each.dataset.line) === hand);
      if (again) again.focus({ preventScroll: true });
    }
  });
  window.bench.lay = lay;
  window.addEventListener("resize", lay);
  document.addEventListener("DOMContentLoaded", lay);
  if (document.readyState !== "loading") lay();
})();
