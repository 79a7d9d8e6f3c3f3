// The records that this browser keeps: each in the very shape of its file, beside what is typed and ticked on its sheet.
// A finished record is never written to again.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { store, recordFile: F } = Fettlebook;
  if (!F || Fettlebook.recordKeep) return;

  function ids() {
    const found = store.read("records", []);
    return Array.isArray(found) ? found.filter((id) => typeof id === "string") : [];
  }

  /** A record, or null. */
  function get(id) {
    return F.fits(store.read("record/" + id, null));
  }

  function all() {
    return ids().map(get).filter(Boolean);
  }

  function put(record) {
    store.write("record/" + record.id, record);
    if (!ids().includes(record.id)) store.write("records", ids().concat(record.id));
  }

  /** Takes in a record that came from elsewhere, with what is typed and ticked in it. */
  function adopt(record) {
    put(record);
    const typed = record.lines.filter((line) => line.typed).map((line) => [line.key, line.typed]);
    store.write("record/" + record.id + "/boxes", Object.fromEntries(typed));
    const ticks = record.ticks.map((tick) => tick.key);
    store.write("record/" + record.id + "/ticks", { ticks, at: Date.now(), issue: record.mark.split("/").pop() });
  }

  function remove(id) {
    for (const part of ["", "/boxes", "/ticks"]) store.forget("record/" + id + part);
    store.write("records", ids().filter((own) => own !== id));
  }

  /** An id that no other record has: the day and six random digits of sixteen. */
  function newId() {
    const bytes = window.crypto.getRandomValues(new Uint8Array(3));
    return today().replace(/-/g, "") + "-" + Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  /** The reader's own day, as 2026-11-02. */
  function today() {
    const now = new Date();
    const two = (number) => String(number).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  /** Hands a text to the reader as a file. */
  function save(name, kind, text) {
    const address = URL.createObjectURL(new Blob([text], { type: kind + ";charset=utf-8" }));
    const link = Fettlebook.sheet.make("a", { href: address, download: name });
    window.document.body.append(link);
    link.click();
    link.remove();
    window.setTimeout(() => URL.revokeObjectURL(address), 60000);
  }

  const saveJson = (record) => save(F.fileName(record, "json"), "application/json", F.toJson(record));
  const saveCsv = (record) => save(F.fileName(record, "csv"), "text/csv", F.toCsv(record));

  /** "S16-0147, J-01/4 Fit the hub": what a list calls a record. */
  function named(record) {
    const hull = record.serials.map((own) => own.text).filter(Boolean).join(", ") || record.machine || "no machine named";
    return hull + ", " + record.mark + " " + record.title;
  }

  Fettlebook.recordKeep = { get, all, put, adopt, remove, newId, today, saveJson, saveCsv, named };
})(window);
