// A record on its sheet: begun, filled in, finished, put away. Every keystroke is kept; finished, it is frozen with its
// limits, issues and dates. Without an open record the boxes are judged all the same.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { store, recordKeep: keep, recordFile: F, recordBoxes: B, recordSums } = Fettlebook;
  if (!keep || !B || Fettlebook.record) return;
  const { make, button, bar, underTitle } = Fettlebook.sheet;
  const root = document.documentElement;
  const { page } = root.dataset;
  const one = (selector) => document.querySelector(selector);
  let record = null; // the open record, in the shape of its file
  let verdicts = new Map(); // by box, those that can be seen

  const isFrozen = () => Boolean(record && record.finished);
  const seen = () => Fettlebook.boxes.boxes().filter((box) => !box.closest("[hidden]"));
  const lineOf = (key) => (record ? record.lines.find((line) => line.key === key) : null);
  const mark = () => one(".tb-number").textContent.trim();

  // ---- Judging, and bringing the record up to what stands on the sheet. ----

  /** The record's line of a box, made where it has none. */
  function lineFor(box) {
    let line = lineOf(box.dataset.box);
    if (!line) {
      line = F.line(B.declared(box));
      record.lines.push(line);
    }
    return line;
  }

  function judgeAll() {
    verdicts = new Map();
    for (const box of seen()) {
      const line = record && (isFrozen() ? lineOf(box.dataset.box) : lineFor(box));
      const found = B.show(box, line, isFrozen());
      verdicts.set(box.dataset.box, Object.assign(found, { unit: box.dataset.unit, box }));
      if (record && !isFrozen()) {
        const { value = "", uncertainty = "", off = "", kind } = found;
        Object.assign(line, B.declared(box), { typed: F.wellFormed(Fettlebook.boxes.text(box).trim()), value, uncertainty, off, verdict: value ? kind : "" });
        B.showConcession(box, Boolean(off));
      } else if (record) {
        B.showConcession(box, Boolean(line && line.off));
      }
    }
    for (const box of seen()) B.showFit(box, verdicts);
  }

  /** Lines in the order of the sheet; those of boxes that are not seen stay if something was typed in them. */
  function arranged() {
    const keys = Array.from(verdicts.keys());
    const place = (line) => (keys.includes(line.key) ? keys.indexOf(line.key) : keys.length);
    record.lines = record.lines.filter((line) => verdicts.has(line.key) || line.typed).sort((a, b) => place(a) - place(b));
  }

  function keepRecord() {
    if (!record || isFrozen()) return;
    arranged();
    Object.assign(record, { mark: mark(), library_date: root.dataset.date });
    const ticks = store.read("record/" + record.id + "/ticks", null);
    const kept = ticks && Array.isArray(ticks.ticks) ? ticks.ticks : [];
    record.ticks = kept.filter((key) => typeof key === "string").map((key) => ({ key, text: "done" }));
    record.correction = correction();
    keep.put(record);
  }

  /** What is said of a part that was not measured at 20 °C. */
  function correction() {
    const own = record.part_temperature.trim();
    return own && !/^20(?:[.,]0+)?\s*(?:°\s*C)?$/i.test(own) ? "measured at " + own + (/\d$/.test(own) ? " \u00B0C" : "") + ", not corrected to 20 \u00B0C" : "";
  }

  function update() {
    judgeAll();
    keepRecord();
    showFoot();
    recordSums.refresh(verdicts).then((sums) => {
      if (!sums || !record || isFrozen()) return;
      record.sums = sums;
      keepRecord();
    }).catch((failure) => window.console.warn("fettlebook: a calculation could not be fetched", failure));
  }

  // ---- The head of a record. ----

  const HEAD = [
    ["date", "Date", { type: "date" }],
    ["fitter", "Fitter", {}],
    ["part_temperature", "Part temperature, \u00B0C", { inputmode: "decimal" }],
    ["room_temperature", "Room temperature, \u00B0C", { inputmode: "decimal" }],
    ["note", "Notes on the whole", { rows: 3 }],
  ];

  function serialFields() {
    return record.serials.map((own, index) => B.field("record-serial-" + index, own.key + " number", { "data-serial": String(index), autocapitalize: "characters" }));
  }

  function head() {
    const section = make("section", { class: "block record", id: "record" }, make("h2", { class: "block-head" }, "Measured record"));
    const fields = make("div", { class: "record-fields" }, ...serialFields());
    fields.append(...HEAD.map(([name, text, attributes]) => B.field("record-" + name, text, Object.assign({ "data-head": name }, attributes))));
    section.append(make("p", { class: "record-of" }), fields, make("p", { class: "record-says", role: "status" }), make("p", { class: "record-rule" }, "Decision rule: " + Fettlebook.judge.RULE));
    return section;
  }

  function fillHead() {
    for (const input of document.querySelectorAll("[data-head]")) input.value = record[input.dataset.head];
    for (const input of document.querySelectorAll("[data-serial]")) input.value = record.serials[Number(input.dataset.serial)].text;
    for (const input of document.querySelectorAll("#record input, #record textarea, .row-note textarea")) input.disabled = isFrozen();
    const [then, now] = [isFrozen() ? record.mark : record.begun_on, mark()];
    const begun = then === now ? "" : " This sheet is now " + now + ". The record " + (isFrozen() ? "was finished on " + then + " and keeps its limits." : "was begun on " + then + "; the limits of " + now + " are used.");
    one(".record-of").textContent = (record.machine || "No machine chosen") + ". Record " + record.id + "." + begun;
  }

  /** A place for a note at every row of the job. */
  function rowNotes() {
    for (const row of document.querySelectorAll(".rows > .row")) {
      const note = record.notes.find((own) => own.key === row.id);
      const id = "note-" + row.id;
      const area = make("textarea", { id, rows: 2, "data-note": row.id });
      area.value = note ? note.text : "";
      const name = row.querySelector(".op").textContent.replace(/ done\s*$/, "").replace(/\s+/g, " ").trim();
      row.querySelector(".words").append(make("details", { class: "row-note", open: Boolean(note) }, make("summary", {}, "Note"), make("label", { class: "spoken", for: id }, "Note on " + name), area));
    }
  }

  // ---- The foot: finishing, files, putting away. ----

  /** What still stands in the way of finishing: [words, id of the place]. */
  function missing() {
    const found = [];
    if (!record.fitter.trim()) found.push(["the fitter's name", "record-fitter"]);
    if (!record.date) found.push(["the date", "record-date"]);
    for (const [key, own] of verdicts) {
      const line = lineOf(key);
      const name = line.name + (line.row ? ", " + line.row : "");
      if (own.wrong || own.meant) found.push([name + ": a value that can be judged", "box-" + key]);
      if (!own.off || B.conceded(line)) continue;
      const wanted = [["reason", "a reason"], ["by", "a name"], ["on", "a date"]].filter(([field]) => !line[field].trim());
      found.push([name + " is outside its limits: the concession needs " + wanted.map(([, words]) => words).join(", "), "box-" + key + "-" + wanted[0][0]]);
    }
    return found;
  }

  function finish() {
    update();
    const wanted = missing();
    const says = one(".record-missing");
    says.replaceChildren();
    if (wanted.length) {
      const lines = wanted.map(([words, place]) => make("li", {}, make("a", { href: "#" + place }, words)));
      says.append(make("p", {}, "Not finished. Still wanted:"), make("ul", {}, ...lines));
      says.querySelector("a").focus();
      return;
    }
    recordSums.refresh(verdicts).catch(() => null).then((sums) => {
      if (sums) record.sums = sums;
      keepRecord();
      record.finished = keep.today();
      keep.put(record);
      show();
    });
  }

  function foot() {
    const keys = make("div", { class: "keys record-keys" });
    // The library's one file has no page of records: there a record is carried to one as a file.
    const link = Fettlebook.inside ? "" : make("a", { class: "key", href: "records.html#" + record.id }, "Show as one sheet, to print and sign");
    if (!isFrozen()) keys.append(button("Finish the record", finish, { class: "key record-finish" }));
    keys.append(button("Save as a file", () => keep.saveJson(record)), button("Save as a table (CSV)", () => keep.saveCsv(record)), link, button("Put it away", putAway));
    const section = make("section", { class: "block record-end" }, make("h2", { class: "block-head" }, "Finish the record"));
    section.append(make("p", { class: "record-count", role: "status" }), make("div", { class: "record-missing", role: "alert" }), keys);
    return section;
  }

  function showFoot() {
    const says = one(".record-count");
    if (!says || !record) return;
    const lines = record.lines;
    const of = (...kinds) => lines.filter((line) => kinds.includes(line.verdict)).length;
    const empty = lines.filter((line) => !line.typed).length;
    const counts = [of("inside") + " inside", of("edge") + " at the edge", of("outside") + " outside", of("concession") + " by concession", empty + " not measured"];
    const sum = isFrozen() ? " Finished " + record.finished + ", and frozen. Check sum " + F.printed(F.sum(record)) + "." : "";
    says.textContent = lines.length + " values: " + counts.filter((count) => !count.startsWith("0 ")).join(", ") + "." + sum;
    one(".record-says").textContent = correction() ? "Values are " + correction() + ". Where it matters, work it out with the calculation \u201Csize at 20 \u00B0C\u201D." : "";
  }

  function putAway() {
    store.forget(store.forMachine("open/" + page));
    record = null;
    document.dispatchEvent(new CustomEvent("fettlebook:record"));
  }

  // ---- Showing, beginning. ----

  function clearAway() {
    for (const old of document.querySelectorAll("#record, .record-end, .row-note, .bar-refused")) old.remove();
  }

  function show() {
    const id = store.openRecord(page);
    record = id ? keep.get(id) : null;
    clearAway();
    const offer = one(".bar-record");
    if (offer) offer.hidden = Boolean(record);
    if (record) {
      underTitle(head());
      const sign = one(".sign") || one("main .history");
      if (sign) sign.before(foot()); else one("main").append(foot());
      if (isFrozen()) for (const box of Fettlebook.boxes.boxes()) Fettlebook.boxes.fill(box, (lineOf(box.dataset.box) || { typed: "" }).typed);
      rowNotes();
      fillHead();
    }
    for (const box of Fettlebook.boxes.boxes()) B.open(box, record && (lineOf(box.dataset.box) || F.line({})), isFrozen());
    if (store.refuses()) refused();
    update();
  }

  function refused() {
    if (one(".bar-refused")) return;
    const says = "This browser keeps nothing: what you type lasts until you leave the page. Save it as a file before you go.";
    underTitle(bar("refused", says, ...(record ? [button("Save as a file", () => keep.saveJson(record))] : [])));
  }

  /** The machine as the reader chose it, into a new record. */
  function machineOf() {
    const own = Fettlebook.machine.chosen();
    const serials = store.readTexts("serials");
    const known = [];
    for (const variant of (Fettlebook.library && Fettlebook.library.variants) || []) {
      const ranged = variant.choices.find((choice) => choice.serials);
      if (ranged && !known.some((found) => found.key === ranged.serials.name)) known.push({ key: ranged.serials.name, text: serials[variant.id] || "" });
    }
    const choices = Object.entries(own.choices).map(([key, text]) => ({ key, text }));
    return { machine: Fettlebook.machine.named(own), choices, serials: known };
  }

  /** Begins a record with what is typed and ticked on the sheet so far, and opens it. */
  function begin() {
    const loose = ["boxes", "ticks"].map((kind) => {
      const key = store.ofSheet(page, kind, kind === "boxes" ? "boxes/" + page + "/" + (root.dataset.issue || "") : "ticks/" + page);
      const kept = store.read(key, null);
      store.forget(key);
      return [kind, kept];
    });
    const made = Object.assign(F.empty(), machineOf(), {
      id: keep.newId(),
      library: root.dataset.library,
      library_title: (Fettlebook.library && Fettlebook.library.title) || "",
      page,
      address: window.location.pathname.split("/").pop(),
      begun_on: mark(),
      title: one(".tb-title").textContent.trim(),
      begun: keep.today(),
      date: keep.today(),
      rule: Fettlebook.judge.RULE,
    });
    made.mark = made.begun_on;
    keep.put(made);
    for (const [kind, kept] of loose) if (kept) store.write("record/" + made.id + "/" + kind, kept);
    store.write(store.forMachine("open/" + page), made.id);
    document.dispatchEvent(new CustomEvent("fettlebook:record"));
    one("#record").scrollIntoView();
  }

  // ---- Keeping up with the reader. ----

  function typed(target) {
    if (target.matches("input[data-box]")) return update();
    if (!record || isFrozen()) return;
    const { head: name, serial, note, field } = target.dataset;
    const text = F.wellFormed(target.value);
    if (name) record[name] = text;
    else if (serial) record.serials[Number(serial)].text = text.trim();
    else if (note) {
      record.notes = record.notes.filter((own) => own.key !== note).concat(text.trim() ? [{ key: note, text }] : []);
    } else if (field) {
      const box = target.closest("[data-for-box]").dataset.forBox;
      const line = lineOf(box);
      line[field] = text;
      const gauge = field === "tool" ? B.known(text) : null;
      if (field === "tool") Object.assign(line, { stated_uncertainty: gauge ? gauge.uncertainty : "", calibrated: gauge ? gauge.calibrated : "", serial: "" });
      if (field === "reason" && text.trim() && !line.on) line.on = keep.today();
      for (const input of target.closest(".measured").querySelectorAll("[data-field]")) if (input !== target) input.value = line[input.dataset.field];
    } else {
      return;
    }
    update();
  }

  /** Takes up what another tab, or the page of records, did with the record meanwhile. */
  function lookAgain() {
    const id = store.openRecord(page);
    const kept = id ? keep.get(id) : null;
    if (document.visibilityState === "visible" && JSON.stringify(kept) !== JSON.stringify(record)) show();
  }

  let isStarted = false;

  function start() {
    if (isStarted || !page) return;
    isStarted = true;
    document.addEventListener("input", (event) => { if (event.target.matches) typed(event.target); });
    document.addEventListener("change", (event) => { if (event.target.matches && event.target.matches("input[data-tick]")) keepRecord(); });
    for (const name of ["machine", "record"]) document.addEventListener("fettlebook:" + name, show);
    document.addEventListener("fettlebook:boxes", update);
    document.addEventListener("fettlebook:refused", refused);
    document.addEventListener("visibilitychange", lookAgain);
    window.addEventListener("storage", lookAgain);
    new MutationObserver(update).observe(root, { attributeFilter: ["data-length", "data-torque", "data-temperature"] });
    show();
  }

  Fettlebook.record = { start, begin };
})(window);
