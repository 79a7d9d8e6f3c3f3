// The page of records: those that this browser keeps, opened, saved, taken in from files and deleted; and one of them as a
// sheet to print and sign, made from the record alone.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { store, recordKeep: keep, recordFile: F } = Fettlebook;
  if (!keep) return;
  const { make, button, bar } = Fettlebook.sheet;
  const place = () => document.getElementById("records");

  // ---- The list. ----

  /** A key that asks before it does something that cannot be undone. */
  function asking(text, question, task) {
    const keys = make("span", { class: "keys" });
    const ask = button(text, () => { keys.replaceChildren(yes, no); no.focus(); });
    const yes = button(question, task);
    const no = button("Keep it", () => { keys.replaceChildren(ask); ask.focus(); });
    keys.append(ask);
    return keys;
  }

  /** Opens a record on its sheet, for its machine. */
  function open(record) {
    const pairs = (list) => Object.fromEntries(list.map(({ key, text }) => [key, text]));
    store.write("machine", pairs(record.choices));
    store.write(store.forMachine("open/" + record.page), record.id);
    window.location.assign(record.address);
  }

  function row(record) {
    const state = record.finished ? "finished " + record.finished : "in work, begun " + record.begun;
    const keys = make("div", { class: "keys" });
    const isHere = record.library === document.documentElement.dataset.library && /^[\w.-]+\.html$/.test(record.address);
    keys.append(make("a", { class: "key", href: "#" + record.id }, "Show, print"));
    if (isHere) keys.append(button("Open on its sheet", () => open(record)));
    keys.append(button("Save as a file", () => keep.saveJson(record)), button("Save as a table (CSV)", () => keep.saveCsv(record)));
    keys.append(asking("Delete", "Yes, delete this record", () => { keep.remove(record.id); show(); }));
    const foreign = isHere ? "" : " It belongs to another library: " + record.library_title + ".";
    return make("li", { class: "record-kept" }, make("p", {}, make("b", {}, keep.named(record)), ", " + state + ", record " + record.id + "." + foreign), keys);
  }

  function list() {
    const records = keep.all();
    const rows = records.map(row);
    return rows.length ? make("ul", { role: "list", class: "record-list" }, ...rows) : make("p", { class: "record-none" }, "No record yet. Open a job's sheet and press \u201CStart a record\u201D.");
  }

  // ---- Taking in files. ----

  function says(...words) {
    document.querySelector(".record-import-says").replaceChildren(...words);
  }

  /** What stands where a record with this id is kept already. */
  function clash(record, changed) {
    const old = keep.get(record.id);
    if (JSON.stringify(old) === JSON.stringify(record)) return says("This record is kept here already, word for word. " + changed);
    const take = button("Take the one from the file", () => { keep.adopt(record); done(record, changed); });
    const both = button("Keep both", () => {
      const other = Object.assign({}, record, { id: keep.newId() });
      keep.adopt(other);
      done(other, changed);
    });
    const mine = button("Keep the one that is here", () => says("Nothing was changed."));
    says("A record " + record.id + " is kept here already, and the file's is another. Which is to stay? " + changed, make("span", { class: "keys" }, both, mine, take));
    both.focus();
  }

  function done(record, changed) {
    show();
    says("Taken in: " + keep.named(record) + ". " + changed);
  }

  async function take(file) {
    const found = F.read(await file.text());
    if (found.wrong) return says("Nothing was taken in from " + file.name + ": " + found.wrong + ".");
    if (!/^[\w-]{1,60}$/.test(found.record.id)) return says("Nothing was taken in from " + file.name + ": its id is none: " + found.record.id.slice(0, 60));
    const changed = found.changed ? "The check sum is not that of what the file holds: it was changed after it was saved." : "The check sum is right.";
    if (keep.get(found.record.id)) return clash(found.record, changed);
    keep.adopt(found.record);
    done(found.record, changed);
  }

  function importer() {
    const input = make("input", { type: "file", id: "record-file", accept: ".json,.csv,application/json,text/csv" });
    input.addEventListener("change", () => {
      const [file] = input.files;
      if (file) take(file).catch(() => says("The file could not be read.")).then(() => { input.value = ""; });
    });
    return make("div", { class: "record-import" }, make("label", { for: "record-file" }, "Take in a record from a file (JSON or CSV)"), input, make("div", { class: "record-import-says", role: "status" }));
  }

  // ---- One record as a sheet. ----

  const cell = (...content) => make("td", {}, ...content);
  const unit = (text, own) => (text ? text + (own && own !== "1" ? "\u00A0" + own : "") : "");

  function result(line) {
    if (!line.typed) return "not measured";
    const off = line.off ? ", " + line.off + "\u00A0" + line.unit + " beyond" : "";
    return ({ edge: "at the edge", read: "no limits", "": "not judged" }[line.verdict] || line.verdict) + (line.verdict === "inside" ? "" : off);
  }

  const small = (text) => (text ? [make("small", {}, text)] : []);

  function lineRow(record, line, index) {
    const typed = /\d$/.test(line.typed) ? unit(line.typed, line.unit) : line.typed;
    const read = line.value && !line.typed.startsWith(line.value) ? "= " + unit(line.value, line.unit) : "";
    const gauge = [line.tool, line.serial && "no. " + line.serial, line.calibrated && "calibrated " + line.calibrated].filter(Boolean).join(", ");
    return make("tr", { class: line.verdict === "concession" && "is-concession" },
      cell(String(index + 1)),
      make("th", { scope: "row" }, line.name, ...small(line.note)),
      cell(unit(line.stated, line.unit), ...small(line.mark)),
      make("td", {}, make("b", {}, typed), ...small(read), ...small(line.uncertainty && "U " + unit(line.uncertainty, line.unit))),
      cell(gauge), cell(line.temperature || record.part_temperature), cell(result(line)), cell(""));
  }

  function lines(record) {
    const heads = ["Line", "What", "Limits, from", "Measured", "Instrument", "\u00B0C", "Result", "Initials"].map((head) => make("th", { scope: "col" }, head));
    const table = make("table", { class: "record-paper" }, make("caption", { class: "spoken" }, "Measured values"), make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...record.lines.map((line, index) => lineRow(record, line, index))));
    return make("div", { class: "record-table", tabindex: "0", role: "region", "aria-label": "Measured values" }, table);
  }

  function concessions(record) {
    const own = record.lines.map((line, index) => [line, index]).filter(([line]) => line.verdict === "concession");
    if (!own.length) return [];
    const items = own.map(([line, index]) => make("li", {}, "Line " + (index + 1) + ", " + line.name + ", " + line.off + "\u00A0" + line.unit + " beyond its limits: " + line.reason + ". " + line.by + ", " + line.on + "."));
    return [make("h2", { class: "block-head" }, "Concessions"), make("ul", {}, ...items)];
  }

  function notes(record) {
    const own = record.notes.map(({ key, text }) => make("li", {}, key.replace(/-/g, " ") + ": " + text));
    if (record.note) own.unshift(make("li", {}, record.note));
    const sums = record.sums.map((sum) => make("li", {}, sum.title + ", " + sum.answer + ": " + sum.measured + " with these measurements (on the page " + (sum.declared || "nothing") + ")"));
    const part = (head, list) => (list.length ? [make("h2", { class: "block-head" }, head), make("ul", {}, ...list)] : []);
    return [...part("Notes", own), ...part("Worked with these measurements", sums)];
  }

  function head(record) {
    const facts = record.serials.map((own) => [own.key + " number", own.text]).concat([
      ["Machine", record.machine], ["Date", record.date], ["Fitter", record.fitter], ["Part", record.part_temperature && record.part_temperature + " \u00B0C"],
      ["Room", record.room_temperature && record.room_temperature + " \u00B0C"], ["Rows ticked", record.ticks.length ? String(record.ticks.length) : ""],
    ]);
    const list = make("dl", { class: "tb-facts" }, ...facts.filter(([, text]) => text).map(([name, text]) => make("div", {}, make("dt", {}, name), make("dd", {}, text))));
    const state = record.finished ? "Finished " + record.finished + "." : "Not finished: this is a record in work.";
    return [make("p", { class: "tb-number" }, record.mark), make("h2", { class: "tb-title" }, record.title), list, make("p", { class: "record-state" }, state + (record.correction ? " Values are " + record.correction + "." : ""))];
  }

  function paper(record) {
    const marks = Array.from(new Set([record.mark, ...record.lines.map((line) => line.mark)])).join(", ");
    const signs = ["Fitter, signed", "Owner, signed", "Date"].map((name) => make("div", {}, make("dt", {}, name), make("dd", {})));
    const sum = F.sum(record);
    const foot = make("p", { class: "record-foot" }, "Check sum ", make("b", { class: "record-sum" }, F.printed(sum)), " (SHA-256 " + sum + "). Record " + record.id + ". Pages and issues: " + marks + ". Library of " + record.library_date + ". " + (record.rule || ""));
    return make("article", { class: "record-sheet" }, make("header", { class: "record-title" }, ...head(record)), lines(record), ...concessions(record), ...notes(record), make("dl", { class: "sign-lines" }, ...signs), foot);
  }

  // ---- Showing. ----

  function show() {
    const section = place();
    for (const old of section.querySelectorAll(".record-made")) old.remove();
    const record = keep.get(window.location.hash.slice(1));
    const own = make("div", { class: "record-made" });
    document.documentElement.classList.toggle("shows-record", Boolean(record));
    if (record) {
      const keys = make("div", { class: "keys record-keys" }, button("Print", () => window.print()), button("Save as a file", () => keep.saveJson(record)), button("Save as a table (CSV)", () => keep.saveCsv(record)), make("a", { class: "key", href: "#records" }, "All records"));
      own.append(keys, paper(record));
    } else {
      if (store.refuses()) own.append(bar("refused", "This browser keeps nothing: a record lasts until you leave the page."));
      own.append(list(), importer());
    }
    section.append(own);
  }

  function start() {
    if (!place()) return;
    window.addEventListener("hashchange", show);
    show();
  }

  Fettlebook.components.push({ name: "records", start, refresh: show });
})(window);
