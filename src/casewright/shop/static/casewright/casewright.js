// The page's own outbox: what is typed while the Wi-Fi is gone waits in this browser and is sent
// once, later. Every form works without this script too; each carries the id that makes a resend
// harmless.
"use strict";
(() => {
  const KEY = "casewright-outbox";
  const bar = document.getElementById("outbox");
  const load = () => { try { return JSON.parse(localStorage.getItem(KEY) || "[]"); } catch { return []; } };
  const save = (list) => { try { localStorage.setItem(KEY, JSON.stringify(list)); return true; } catch { return false; } };

  function show() {
    const waiting = load();
    bar.hidden = waiting.length === 0;
    bar.textContent = waiting.length
      ? `${waiting.length} ${waiting.length === 1 ? "entry waits" : "entries wait"} in this browser and will be sent when the shop answers.`
      : "";
    if (waiting.length) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = "Send now";
      button.addEventListener("click", () => drain(true));
      bar.append(" ", button);
      const wrong = waiting.find((one) => one.refused);
      if (wrong) {
        const again = document.createElement("p");
        again.textContent = `Not taken yet: ${wrong.refused} It stays here until it is sent or thrown away.`;
        const away = document.createElement("button");
        away.type = "button";
        away.textContent = "Throw the refused one away";
        away.addEventListener("click", () => { save(load().filter((one) => one.id !== wrong.id)); show(); });
        bar.append(again, away);
      }
    }
  }

  const freshId = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  async function send(one, token) {
    const body = new URLSearchParams(one.pairs);
    if (token) body.set("csrfmiddlewaretoken", token);
    const controller = new AbortController();
    const timer = setTimeout(() => controller.abort(), 15000);
    try {
      return await fetch(one.action, { method: "POST", body, credentials: "same-origin", signal: controller.signal });
    } finally { clearTimeout(timer); }
  }

  let draining = false;
  async function drain(loud) {
    if (draining) return;
    draining = true;
    let sent = 0;
    try {
      for (const one of load()) {
        const token = document.querySelector("input[name=csrfmiddlewaretoken]");
        let answer;
        try { answer = await send(one, token && token.value); } catch { break; }
        if (answer.ok) { save(load().filter((other) => other.id !== one.id)); sent += 1; }
        else if (answer.status === 403) break;
        else {
          const page = new DOMParser().parseFromString(await answer.text(), "text/html");
          const said = page.querySelector(".trouble");
          save(load().map((other) => other.id === one.id
            ? { ...other, refused: said ? said.textContent.trim() : `the shop answered ${answer.status}.` } : other));
        }
      }
    } finally { draining = false; show(); }
    if (sent && (loud || !document.activeElement || document.activeElement === document.body)) location.reload();
  }

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!form.matches("form[data-outbox]") || event.defaultPrevented) return;
    event.preventDefault();
    const button = event.submitter;
    // A disabled button would not be part of what is sent, and its tap is the answer.
    const data = new FormData(form, button && button.name ? button : undefined);
    if (button) button.disabled = true;
    const minutes = stopClock(form);
    if (minutes !== null && !data.get("minutes")) data.set("minutes", minutes);
    if (!data.get("happened_at")) data.set("happened_at", new Date().toISOString());
    const one = { id: data.get("id"), action: form.action, pairs: [...data.entries()].map(([k, v]) => [k, String(v)]) };
    let answer;
    try { answer = await send(one); } catch { answer = null; }
    if (answer && (answer.ok || answer.status === 422 || answer.status === 403)) {
      if (answer.ok && answer.redirected) { const there = new URL(answer.url); there.hash = "next-thing"; if (there.pathname === location.pathname) { location.hash = "next-thing"; location.reload(); } else { location.assign(there); } return; }
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      document.getElementById("main").replaceWith(document.adoptNode(page.getElementById("main")));
      arrange();
      const trouble = document.querySelector(".trouble");
      if (trouble) { trouble.tabIndex = -1; trouble.focus(); }
      return;
    }
    if (button) button.disabled = false;
    if (save([...load(), one])) {
      form.querySelector("input[name=id]").value = freshId();
      form.reset();
      show();
      bar.focus();
    }
  });

  // On a telephone what isn't the next thing is folded; a list may come from a file.
  function arrange() {
    const narrow = matchMedia("(max-width: 40rem)").matches;
    for (const fold of document.querySelectorAll("details[data-wide]")) {
      if (narrow && !(location.hash && fold.querySelector(location.hash))) fold.open = false;
    }
    for (const label of document.querySelectorAll(".from-file")) label.hidden = false;
    for (const form of document.querySelectorAll("#next-thing form[data-outbox]")) offerClock(form);
  }

  // Time spent is measured where somebody wants it: the clock runs on over a reload of the page.
  const CLOCK = "casewright-clock";
  const clock = () => { try { return JSON.parse(localStorage.getItem(CLOCK) || "null"); } catch { return null; } };
  const about = (form) => location.pathname + form.querySelector("input[name=fixed]").value;
  const since = (running) => Math.max(0, Math.round((Date.now() - running.start) / 6000) / 10);
  function offerClock(form) {
    const kind = form.querySelector("input[name=kind]").value;
    if (!["step-done", "attempt"].includes(kind) || form.querySelector("[name=minutes], .clock")) return;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "clock";
    const say = () => {
      const running = clock();
      const mine = running && running.about === about(form);
      button.setAttribute("aria-pressed", mine ? "true" : "false");
      button.textContent = mine ? `Measuring, ${since(running).toFixed(0)} min so far. Touch to drop it` : "Measure the time";
    };
    button.addEventListener("click", () => {
      const running = clock();
      const mine = running && running.about === about(form);
      try { if (mine) localStorage.removeItem(CLOCK); else localStorage.setItem(CLOCK, JSON.stringify({ about: about(form), start: Date.now() })); } catch { return; }
      say();
    });
    form.append(button);
    say();
    setInterval(() => { if (button.isConnected) say(); }, 15000);
  }
  function stopClock(form) {
    const running = clock();
    if (!running || running.about !== about(form)) return null;
    try { localStorage.removeItem(CLOCK); } catch { return null; }
    return String(since(running));
  }

  document.addEventListener("change", async (event) => {
    const from = event.target;
    if (!from.matches("input[type=file][data-into]") || !from.files.length) return;
    document.getElementById(from.dataset.into).value = await from.files[0].text();
  });

  // A digital gauge types like a keyboard and ends with Enter: go to the next box instead of sending.
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches(".boxes input")) return;
    const boxes = [...event.target.closest("form").querySelectorAll(".boxes input")];
    const next = boxes[boxes.indexOf(event.target) + 1];
    if (next) { event.preventDefault(); next.focus(); next.select(); }
  });
  // A finger or mouse drawn over a tooth picture ticks (or clears) each cell that it crosses.
  let stroke = null;
  const cellAt = (event) => { const one = document.elementFromPoint(event.clientX, event.clientY); return one && one.closest(".cell"); };
  const paint = (cell) => { const box = cell.querySelector("input"); if (box.checked !== stroke.tick) box.checked = stroke.tick; };
  document.addEventListener("pointerdown", (event) => {
    const cell = event.isPrimary && event.button === 0 && event.target.closest(".cell");
    stroke = cell ? { first: cell, tooth: cell.parentElement, tick: !cell.querySelector("input").checked, drawn: false } : null;
  });
  document.addEventListener("pointermove", (event) => {
    if (!stroke) return;
    const cell = cellAt(event);
    if (!cell || cell.parentElement !== stroke.tooth || (!stroke.drawn && cell === stroke.first)) return;
    if (!stroke.drawn) { stroke.drawn = true; paint(stroke.first); }
    paint(cell);
  });
  document.addEventListener("pointerup", () => setTimeout(() => { stroke = null; }, 0));
  document.addEventListener("pointercancel", () => { stroke = null; });
  // The click that ends a stroke on its first cell would undo it.
  document.addEventListener("click", (event) => {
    if (stroke && stroke.drawn && event.target.closest(".cell")) event.preventDefault();
    stroke = null;
  }, true);
  document.addEventListener("change", (event) => {
    if (!event.target.matches(".units input")) return;
    const shown = event.target.closest("fieldset").querySelector(".unit-shown");
    if (shown) shown.textContent = event.target.value;
  });
  window.addEventListener("online", () => drain(false));
  setInterval(() => { if (load().some((one) => !one.refused)) drain(false); }, 10000);
  // On a phone the rooms scroll sideways: bring the one that is open into sight.
  const here = document.querySelector(".rooms [aria-current]");
  if (here) { const row = here.closest("ol"); row.scrollLeft = here.offsetLeft - (row.clientWidth - here.offsetWidth) / 2; }
  bar.tabIndex = -1;
  show();
  arrange();
  if (load().length) drain(false);
})();
