// Tick boxes of a sheet, remembered for this issue of the sheet and this machine; where the reader stopped, said on
// return; and starting again, which asks.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, button, bar, underTitle } = Fettlebook.sheet;
  const { page, issue } = document.documentElement.dataset;

  function key() {
    return Fettlebook.store.ofSheet(page, "ticks", "ticks/" + page);
  }

  function boxes() {
    return Array.from(document.querySelectorAll("input[data-tick]"));
  }

  /** {ticks: [key], at: time in ms, stale} as remembered, or an empty one; stale when kept from another issue. */
  function kept() {
    const found = Fettlebook.store.read(key(), null) || {};
    const ticks = Array.isArray(found.ticks) ? found.ticks : [];
    const stale = ticks.length > 0 && found.issue !== issue;
    return { ticks: stale ? [] : ticks, at: Number.isFinite(found.at) ? found.at : 0, stale };
  }

  function keep(box) {
    const ticks = new Set(kept().ticks);
    if (box.checked) ticks.add(box.dataset.tick); else ticks.delete(box.dataset.tick);
    if (ticks.size) Fettlebook.store.write(key(), { ticks: Array.from(ticks), at: Date.now(), issue });
    else Fettlebook.store.forget(key());
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
    Fettlebook.store.forget(key());
    if (Fettlebook.boxes) Fettlebook.boxes.clear();
    const back = document.querySelector(".bar-back");
    if (back) back.remove();
    count();
  }

  /** A key that starts the sheet again after asking; it becomes two keys while it asks. */
  function startAgain() {
    const keys = make("span", { class: "keys" });
    const ask = button("Start again", () => {
      keys.replaceChildren(yes, no);
      no.focus();
    });
    const yes = button("Yes, clear ticks and measurements", () => {
      keys.replaceChildren(ask);
      ask.focus();
      clearAll();
    });
    const no = button("Keep them", () => {
      keys.replaceChildren(ask);
      ask.focus();
    });
    keys.append(ask);
    return keys;
  }

  function clearing() {
    const line = bar("ticks", "");
    line.classList.add("tick-line");
    line.append(startAgain());
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
    const old = document.querySelector(".bar-back");
    if (old) old.remove();
    const { at, stale } = kept();
    if (stale) {
      underTitle(bar("back", "This sheet has changed since you ticked it: it is now issue " + issue + ". Begin again."));
      return;
    }
    const rows = boxes().filter((box) => box.closest(".row") && !box.closest("[hidden]"));
    const row = rows.filter((box) => box.checked).map((box) => box.closest(".row")).pop();
    if (!row) return;
    if (rows.every((box) => box.checked)) {
      underTitle(bar("back", "Every row was ticked, " + dayText(at) + ".", startAgain()));
      return;
    }
    const place = row.querySelector(".op").textContent.replace(/ done\s*$/, "").trim().toLowerCase();
    const says = "You stopped at " + place + ", " + dayText(at) + ". See that it is still made safe.";
    underTitle(bar("back", says, make("a", { class: "key", href: "#" + row.id }, "Go to " + place), startAgain()));
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
    document.addEventListener("fettlebook:machine", () => {
      show();
      placeKept();
    });
    const rows = document.querySelectorAll("main .rows");
    if (rows.length) rows[rows.length - 1].closest("section").append(clearing());
    document.addEventListener("fettlebook:record", show);
    show();
    placeKept();
  }

  function refresh() {
    if (page && boxes().length) show();
  }

  Fettlebook.components.push({ name: "ticks", start, refresh });
})(window);
