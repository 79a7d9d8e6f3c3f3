// Tick boxes of a sheet, remembered for this sheet; where the reader stopped, said on return; and clearing, which asks.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, button, bar, underTitle } = Fettlebook.sheet;
  const page = document.documentElement.dataset.page;
  const key = "ticks/" + page;

  function boxes() {
    return Array.from(document.querySelectorAll("input[data-tick]"));
  }

  /** {ticks: [key], at: time in ms} as remembered, or an empty one. */
  function kept() {
    const found = Fettlebook.store.read(key, null) || {};
    return { ticks: Array.isArray(found.ticks) ? found.ticks : [], at: Number.isFinite(found.at) ? found.at : 0 };
  }

  function keep(box) {
    const ticks = new Set(kept().ticks);
    if (box.checked) ticks.add(box.dataset.tick); else ticks.delete(box.dataset.tick);
    if (ticks.size) Fettlebook.store.write(key, { ticks: Array.from(ticks), at: Date.now() });
    else Fettlebook.store.forget(key);
    count();
  }

  // ---- counting and clearing ----

  function tally(list) {
    const shown = list.filter((box) => !box.closest("[hidden]"));
    return shown.filter((box) => box.checked).length + " of " + shown.length;
  }

  function count() {
    const rows = boxes().filter((box) => box.closest(".row"));
    const line = document.querySelector(".tick-line > p");
    if (line) line.textContent = tally(rows) + " rows ticked";
    for (const list of document.querySelectorAll("details.ready")) {
      const says = list.querySelector(".ready-count");
      if (says) says.textContent = tally(Array.from(list.querySelectorAll("input[data-tick]"))) + " ready";
    }
  }

  function clearAll() {
    for (const box of boxes()) box.checked = false;
    Fettlebook.store.forget(key);
    const back = document.querySelector(".bar-back");
    if (back) back.remove();
    count();
  }

  function clearing() {
    const line = bar("ticks", "");
    line.classList.add("tick-line");
    const keys = make("span", { class: "keys" });
    const ask = button("Clear all ticks", () => {
      keys.replaceChildren(yes, no);
      no.focus();
    });
    const yes = button("Yes, clear them all", () => {
      clearAll();
      keys.replaceChildren(ask);
      ask.focus();
    });
    const no = button("Keep them", () => {
      keys.replaceChildren(ask);
      ask.focus();
    });
    keys.append(ask);
    line.append(keys);
    return line;
  }

  // ---- the place kept ----

  /** "today at 14:05", "yesterday", "Tuesday" within the last six days, else "2 November 2026". */
  function dayText(at) {
    const language = document.documentElement.lang || undefined;
    const then = new Date(at);
    const midnight = new Date();
    midnight.setHours(0, 0, 0, 0);
    const days = Math.ceil((midnight - then) / 86400000);
    if (days <= 0) return "today at " + then.toLocaleTimeString(language, { hour: "2-digit", minute: "2-digit" });
    if (days === 1) return "yesterday";
    if (days < 7) return then.toLocaleDateString(language, { weekday: "long" });
    return then.toLocaleDateString(language, { day: "numeric", month: "long", year: "numeric" });
  }

  /** The place is the last ticked row in the order of the sheet. */
  function placeKept() {
    const row = boxes().filter((box) => box.checked).map((box) => box.closest(".row")).filter(Boolean).pop();
    if (!row) return;
    const place = row.querySelector(".op").textContent.replace(/ done\s*$/, "").trim().toLowerCase();
    const says = "You stopped at " + place + ", " + dayText(kept().at) + ". See that it is still made safe.";
    underTitle(bar("back", says, make("a", { class: "key", href: "#" + row.id }, "Go to " + place)));
  }

  function show() {
    const ticks = new Set(kept().ticks);
    for (const box of boxes()) box.checked = ticks.has(box.dataset.tick);
    count();
  }

  function start() {
    if (!page || !boxes().length) return;
    document.addEventListener("change", (event) => {
      if (event.target.matches && event.target.matches("input[data-tick]")) keep(event.target);
    });
    document.addEventListener("fettlebook:machine", count);
    const rows = document.querySelectorAll("main .rows");
    if (rows.length) rows[rows.length - 1].closest("section").append(clearing());
    show();
    placeKept();
  }

  function refresh() {
    if (page && boxes().length) show();
  }

  Fettlebook.components.push({ name: "ticks", start, refresh });
})(window);
