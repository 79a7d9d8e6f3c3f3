// What stands under a measured box: the verdict; and while a record is open, the instrument, its uncertainty, a note, and
// the concession that a value outside its limits needs.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { judge, between } = Fettlebook.judge || {};
  if (!judge || Fettlebook.recordBoxes) return;
  const { make, button } = Fettlebook.sheet;
  const ROW = ".row, .record-line";
  const SIGNS = { inside: "\u2713", edge: "?", outside: "\u2717", concession: "\u2717", read: "", wrong: "" };

  /** The row of a box, as readers call it: "step 10", "line 4". */
  function rowOf(box) {
    const row = box.closest(ROW);
    const op = row && row.querySelector(".op");
    if (op) return op.textContent.replace(/ done\s*$/, "").replace(/\s+/g, " ").trim().toLowerCase();
    return row ? "line " + row.querySelector(".op-number").textContent : "";
  }

  /** What a box says of itself in a record's line. */
  function declared(box) {
    const { box: key, of: name, mark, stated, lower, upper, unit } = box.dataset;
    return { key, name, mark, row: rowOf(box), stated, lower, upper, unit };
  }

  /** Whether the sentence before a link says what to do with a value outside its limits. */
  function isWayBack(link) {
    const before = document.createRange();
    before.setStart(link.closest(".words"), 0);
    before.setEndBefore(link);
    return /\b(outside|too|back to)\b/i.test(before.toString().split(/[.!?]\s/).pop());
  }

  /** The step to go back to when a value is outside: the one that its row names for that, or its own row. */
  function wayBack(box) {
    const row = box.closest(ROW);
    const named = row && Array.from(row.querySelectorAll(".words a[href^='#step-']")).find(isWayBack);
    if (named) return make("a", { href: named.getAttribute("href") }, "step " + named.getAttribute("href").slice("#step-".length));
    return row && row.querySelector(".op") ? make("a", { href: "#" + row.id }, rowOf(box)) : null;
  }

  const conceded = (line) => Boolean(line.reason.trim() && line.by.trim() && line.on.trim());

  function place(box) {
    const measured = box.closest(".measured");
    let says = measured.querySelector(".measured-says");
    if (!says) {
      says = make("p", { class: "measured-says", id: box.id + "-says", role: "status" });
      measured.querySelector(".measured-line").after(says);
      box.setAttribute("aria-describedby", says.id);
    }
    return says;
  }

  function meant(box, text) {
    return ["did you mean " + text + "? ", button("Yes, " + text, () => {
      box.value = text;
      box.dispatchEvent(new Event("input", { bubbles: true }));
      box.focus();
    })];
  }

  /** The words of a verdict, with a way back where the value is outside. */
  function words(box, found, line) {
    if (found.meant) return meant(box, found.meant);
    if (found.wrong) return ["not judged: " + found.wrong];
    const read = found.reading ? ["read as " + found.reading + ": "] : [];
    if (found.off && line && conceded(line)) return read.concat("concession, " + found.says + "; " + line.by + ", " + line.on);
    const back = found.verdict === "outside" ? wayBack(box) : null;
    return read.concat(back ? ["outside, " + found.amount + ": see ", back] : [found.says]);
  }

  /** Judges a box and says so; gives the verdict. `line` holds what the record says of it, if one is open; of a frozen
   *  record the limits too. */
  function show(box, line, isFrozen) {
    const own = line || {};
    const limits = isFrozen && line ? line : Object.assign({}, box.dataset, { standIn: Fettlebook.boxes.standIn(box) });
    const found = judge(box.value, limits, own.stated_uncertainty || "");
    const says = place(box);
    const kind = found.off && line && conceded(line) ? "concession" : found.verdict || (found.wrong || found.meant ? "wrong" : "");
    says.className = "measured-says" + (kind ? " is-" + kind : "");
    says.replaceChildren(...(kind ? [SIGNS[kind] ? SIGNS[kind] + " " : "", ...words(box, found, line)] : []));
    return Object.assign(found, { kind });
  }

  /** What the two sides of a fit come to, under the second of them. */
  function showFit(box, verdicts) {
    const [, figure] = /^(.*)\.shaft$/.exec(box.dataset.box) || [];
    if (!figure) return;
    const [hole, shaft] = [verdicts.get(figure + ".hole"), verdicts.get(box.dataset.box)];
    const measured = box.closest(".measured");
    let says = measured.querySelector(".measured-fit");
    if (!says) {
      says = make("p", { class: "measured-fit" });
      measured.append(says);
    }
    const both = hole && shaft && hole.value && shaft.value;
    says.textContent = both ? hole.value + " on " + shaft.value + ": " + between(hole.value, shaft.value, box.dataset.unit) : "";
  }

  // ---- What a record asks for beside the value. ----

  function field(id, text, attributes) {
    const input = attributes.rows ? make("textarea", Object.assign({ id }, attributes)) : make("input", Object.assign({ id, type: "text", autocomplete: "off" }, attributes));
    return make("div", { class: "record-field" }, make("label", { for: id }, text), input);
  }

  function gauges() {
    return Array.from(document.querySelectorAll("[data-gauge]")).filter((row) => !row.hidden).map((row) => ({
      id: row.dataset.gauge,
      name: row.querySelector(".ready-name").textContent,
      uncertainty: row.dataset.uncertainty,
      calibrated: row.dataset.calibrated,
    }));
  }

  function chooser(id, known) {
    const select = make("select", { id, "data-field": "tool" }, make("option", { value: "" }, "not named"));
    for (const own of known) select.append(make("option", { value: own.id + " " + own.name }, own.id + " " + own.name));
    return make("div", { class: "record-field" }, make("label", { for: id }, "Instrument"), select);
  }

  /** The fields of one line of a record, below its box. */
  function fields(box) {
    const id = (name) => box.id + "-" + name;
    const more = make("details", { class: "measured-more", "data-for-box": box.dataset.box }, make("summary", {}, "Instrument and note"));
    more.append(
      chooser(id("tool"), gauges()),
      field(id("serial"), "Its serial number", { "data-field": "serial" }),
      field(id("calibrated"), "Calibrated on", { type: "date", "data-field": "calibrated" }),
      field(id("uncertainty"), "Uncertainty U (k = 2), " + box.dataset.unit, { inputmode: "decimal", "data-field": "stated_uncertainty" }),
      field(id("temperature"), "Part temperature, if another than the sheet's", { "data-field": "temperature" }),
      field(id("note"), "Note", { rows: 2, "data-field": "note" }),
    );
    const concession = make("fieldset", { class: "concession", "data-for-box": box.dataset.box, hidden: true }, make("legend", {}, "Concession: outside its limits, and accepted"));
    concession.append(
      field(id("reason"), "Reason", { rows: 2, "data-field": "reason" }),
      field(id("by"), "Name", { "data-field": "by" }),
      field(id("on"), "Date", { type: "date", "data-field": "on" }),
    );
    return [concession, more];
  }

  /** Puts the fields of a line under a box, filled in; a frozen one cannot be changed. */
  function open(box, line, isFrozen) {
    const measured = box.closest(".measured");
    for (const old of measured.querySelectorAll(".measured-more, .concession")) old.remove();
    box.readOnly = isFrozen;
    if (!line) return;
    measured.append(...fields(box));
    for (const input of measured.querySelectorAll("[data-field]")) {
      const value = line[input.dataset.field];
      if (input.matches("select") && value && !Array.from(input.options).some((own) => own.value === value)) input.append(make("option", { value }, value));
      input.value = value;
      input.disabled = isFrozen;
    }
  }

  /** What the library knows of the instrument that was chosen: its uncertainty and its last calibration. */
  function known(value) {
    return gauges().find((own) => own.id + " " + own.name === value);
  }

  function showConcession(box, isWanted) {
    const own = box.closest(".measured").querySelector(".concession");
    if (own) own.hidden = !isWanted;
  }

  Fettlebook.recordBoxes = { declared, show, showFit, open, known, showConcession, conceded, field };
})(window);
