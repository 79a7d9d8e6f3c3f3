// Measured boxes: what was typed is kept at every keystroke, as typed, with the open record of the sheet, or else for
// this issue of the sheet and this machine. What judges it, and what makes a record of it, is fetched when a box is first
// touched: nobody who only reads waits for it.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, button, bar, underTitle } = Fettlebook.sheet;
  const { page, issue } = document.documentElement.dataset;
  const LONGEST = 60; // characters; more is no measurement
  const STYLE = "assets/css/record.css";
  const SCRIPTS = ["assets/calc/units.js", "assets/js/reckon.js", "assets/js/record.js"];
  let fetched = null;

  const key = () => Fettlebook.store.ofSheet(page, "boxes", "boxes/" + page + "/" + (issue || ""));
  const boxes = () => Array.from(document.querySelectorAll("input[data-box]"));

  // ---- Units: a bare number is in the unit beside the box, which follows the reader's switch. ----

  /** The unit that a bare number in the box is in. */
  function standIn(box) {
    const { unit, other } = box.dataset;
    const value = box.closest(".figure, tr").querySelector(".q");
    const home = value && value.querySelector(".q-first");
    const chosen = document.documentElement.dataset;
    const kind = ["length", "torque", "temperature"].find((own) => value && value.classList.contains("q-" + own));
    const system = chosen[kind] || chosen.units;
    return home && other && system !== "gravimetric" && system !== home.dataset.system ? other : unit;
  }

  function showUnit(box) {
    const line = box.closest(".measured-line");
    const limits = line.querySelector(".measured-limits");
    const own = standIn(box);
    if (!limits.dataset.own) limits.dataset.own = limits.textContent;
    limits.textContent = own === box.dataset.unit ? limits.dataset.own : box.dataset.otherLimits;
    line.querySelector(".measured-unit").textContent = own;
  }

  // ---- Keeping. ----

  const isBare = (typed) => /^[-+\u2212]?[\d.,\s/]*\d$/.test(typed.trim());

  /** What is kept of a box: a bare number in another unit than the figure's gets that unit, so that it stays what it is
   *  when the switch is turned. A bare number that is kept is in the figure's own unit. */
  function text(box) {
    const unit = standIn(box);
    return unit !== box.dataset.unit && isBare(box.value) ? box.value.trim() + " " + unit : box.value;
  }

  /** Shows in a box what was kept of it. */
  function fill(box, kept) {
    box.value = isBare(kept) && standIn(box) !== box.dataset.unit ? kept.trim() + " " + box.dataset.unit : kept;
    showUnit(box);
  }

  function keep(box) {
    const texts = Fettlebook.store.readTexts(key());
    if (box.value.trim()) texts[box.dataset.box] = text(box);
    else delete texts[box.dataset.box];
    if (Object.keys(texts).length) Fettlebook.store.write(key(), texts); else Fettlebook.store.forget(key());
  }

  function show() {
    if (!page) return;
    const texts = Fettlebook.store.readTexts(key());
    for (const box of boxes()) {
      const kept = Object.hasOwn(texts, box.dataset.box) ? texts[box.dataset.box] : "";
      if (box === document.activeElement && text(box) === kept) showUnit(box); else fill(box, kept);
    }
    if (Object.keys(texts).length || Fettlebook.store.openRecord(page)) fetch();
  }

  /** Empties every box of the sheet. */
  function clear() {
    Fettlebook.store.forget(key());
    show();
    document.dispatchEvent(new CustomEvent("fettlebook:boxes"));
  }

  // ---- Fetching what judges. ----

  /** Runs a script of the site; a promise. In the library's one file all of them are there. */
  function load(address) {
    if (Fettlebook.inside) return Promise.resolve();
    return new Promise((resolve, reject) => {
      const script = make("script", {});
      script.src = Fettlebook.scriptAddress(address);
      script.onload = resolve;
      script.onerror = () => reject(new Error(address));
      document.head.append(script);
    });
  }

  /** Fetches what judges and records, once; a promise. */
  function fetch() {
    if (!fetched) {
      if (!Fettlebook.inside && !document.querySelector("link[href='" + STYLE + "']")) document.head.append(make("link", { rel: "stylesheet", href: STYLE }));
      fetched = SCRIPTS.reduce((before, address) => before.then(() => load(address)), Promise.resolve())
        .then(() => Fettlebook.record.start())
        .catch((failure) => {
          fetched = null;
          window.console.warn("fettlebook: values cannot be judged", failure);
        });
    }
    return fetched;
  }

  function offer() {
    const words = "Measured record: values judged, instruments, notes and signature for one machine.";
    const key = button("Start a record", () => fetch().then(() => Fettlebook.record.begin()));
    const keys = make("span", { class: "keys" }, key);
    if (!Fettlebook.inside) keys.append(" ", make("a", { class: "key", href: "records.html" }, "Records kept"));
    underTitle(bar("record", words, keys));
  }

  function start() {
    if (!page || !boxes().length) return;
    for (const box of boxes()) box.maxLength = LONGEST;
    const isBox = (target) => target.matches && target.matches("input[data-box]");
    document.addEventListener("input", (event) => { if (isBox(event.target)) keep(event.target); });
    document.addEventListener("focusin", (event) => { if (isBox(event.target)) fetch(); });
    document.addEventListener("focusout", (event) => { if (isBox(event.target)) event.target.value = text(event.target); });
    for (const name of ["machine", "record"]) document.addEventListener("fettlebook:" + name, show);
    new MutationObserver(show).observe(document.documentElement, { attributeFilter: ["data-length", "data-torque", "data-temperature"] });
    offer();
    show();
  }

  Fettlebook.boxes = { boxes, clear, fill, load, standIn, text };
  Fettlebook.components.push({ name: "boxes", start, refresh: show });
})(window);
