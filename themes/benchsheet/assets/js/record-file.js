// A record as a file: JSON and CSV, read and written without loss, with a check sum. It knows no page and no store;
// tests/record.rs sends random records there and back.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  if (Fettlebook.recordFile) return;
  const FORMAT = "fettlebook-record";
  const VERSION = 1;
  const LONGEST = 4 * 1024 * 1024; // characters of a file: a record has some kilobytes

  // The shape. A string is a text; [shape] a list of such; an object holds these fields and no others, in this order.
  const TEXT = "";
  const LINE = {
    key: TEXT, name: TEXT, mark: TEXT, row: TEXT, stated: TEXT, lower: TEXT, upper: TEXT, unit: TEXT, typed: TEXT, value: TEXT,
    uncertainty: TEXT, verdict: TEXT, off: TEXT, tool: TEXT, serial: TEXT, calibrated: TEXT, stated_uncertainty: TEXT, temperature: TEXT,
    note: TEXT, reason: TEXT, by: TEXT, on: TEXT,
  };
  const SUM = { calculation: TEXT, title: TEXT, answer: TEXT, declared: TEXT, measured: TEXT };
  const PAIR = { key: TEXT, text: TEXT };
  const FIELDS = {
    id: TEXT, library: TEXT, library_title: TEXT, library_date: TEXT, page: TEXT, address: TEXT, mark: TEXT, title: TEXT, machine: TEXT,
    begun: TEXT, begun_on: TEXT, date: TEXT, fitter: TEXT, part_temperature: TEXT, room_temperature: TEXT, correction: TEXT, note: TEXT, finished: TEXT, rule: TEXT,
  };
  const LISTS = { choices: PAIR, serials: PAIR, lines: LINE, ticks: PAIR, notes: PAIR, sums: SUM };
  const SHAPE = Object.assign({}, FIELDS, ...Object.entries(LISTS).map(([name, shape]) => ({ [name]: [shape] })));

  const fail = (words) => { throw words; };

  /** A value held to a shape, its fields in the shape's order; what does not fit is thrown as words. */
  function held(value, shape, where) {
    if (shape === TEXT) return typeof value === "string" ? value : fail(where + " must be a text");
    if (Array.isArray(shape)) {
      if (!Array.isArray(value)) fail(where + " must be a list");
      return value.map((one, index) => held(one, shape[0], where + " " + (index + 1)));
    }
    if (!value || typeof value !== "object" || Array.isArray(value)) fail(where + " must be a group of fields");
    const strange = Object.keys(value).find((name) => !Object.hasOwn(shape, name));
    if (strange !== undefined) fail(where + " has a field that is not known: " + strange);
    const made = {};
    for (const [name, own] of Object.entries(shape)) {
      if (!Object.hasOwn(value, name)) fail(where + " lacks the field " + name);
      made[name] = held(value[name], own, where === "the record" ? name : where + ", " + name);
    }
    return made;
  }

  /** A record in which nothing is filled in. */
  function empty() {
    return held(Object.fromEntries(Object.entries(SHAPE).map(([name, shape]) => [name, shape === TEXT ? "" : []])), SHAPE, "the record");
  }

  /** A record that was kept, or null if it is none. */
  function fits(value) {
    try {
      return held(value, SHAPE, "the record");
    } catch (wrong) {
      if (typeof wrong !== "string") throw wrong;
      return null;
    }
  }

  const line = (given) => Object.assign(Object.fromEntries(Object.keys(LINE).map((name) => [name, ""])), given);

  // ---- SHA-256 (FIPS 180-4). The browser's own is missing where a page comes over plain http, as from a workshop's
  // own server, and a sheet has its check sum there too. ----

  const PRIMES = [];
  for (let number = 2; PRIMES.length < 64; number += 1) if (PRIMES.every((prime) => number % prime)) PRIMES.push(number);
  const fraction = (root) => Math.floor((root - Math.floor(root)) * 2 ** 32) | 0;
  const FIRST = PRIMES.slice(0, 8).map((prime) => fraction(Math.sqrt(prime)));
  const ROUNDS = PRIMES.map((prime) => fraction(Math.cbrt(prime)));

  function utf8(text) {
    const bytes = [];
    for (const letter of text) {
      const code = letter.codePointAt(0);
      if (code < 0x80) bytes.push(code);
      else if (code < 0x800) bytes.push(0xC0 | code >> 6, 0x80 | code & 63);
      else if (code < 0x10000) bytes.push(0xE0 | code >> 12, 0x80 | code >> 6 & 63, 0x80 | code & 63);
      else bytes.push(0xF0 | code >> 18, 0x80 | code >> 12 & 63, 0x80 | code >> 6 & 63, 0x80 | code & 63);
    }
    return bytes;
  }

  function block(state, words) {
    const turn = (x, by) => x >>> by | x << 32 - by;
    for (let at = 16; at < 64; at += 1) {
      const [a, b] = [words[at - 15], words[at - 2]];
      const [s, t] = [turn(a, 7) ^ turn(a, 18) ^ a >>> 3, turn(b, 17) ^ turn(b, 19) ^ b >>> 10];
      words[at] = words[at - 16] + s + words[at - 7] + t | 0;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let at = 0; at < 64; at += 1) {
      const one = h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + (e & f ^ ~e & g) + ROUNDS[at] + words[at] | 0;
      const two = (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + (a & b ^ a & c ^ b & c) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, d + one | 0, c, b, a, one + two | 0];
    }
    return [a, b, c, d, e, f, g, h].map((word, at) => word + state[at] | 0);
  }

  /** The SHA-256 of a text as 64 hexadecimal digits. */
  function sha256(text) {
    const bytes = utf8(text);
    const bits = bytes.length * 8;
    bytes.push(0x80);
    while (bytes.length % 64 !== 56) bytes.push(0);
    for (let shift = 56; shift >= 0; shift -= 8) bytes.push(Math.floor(bits / 2 ** shift) & 255);
    let state = FIRST;
    for (let at = 0; at < bytes.length; at += 64) {
      const word = (index) => bytes[at + 4 * index] << 24 | bytes[at + 4 * index + 1] << 16 | bytes[at + 4 * index + 2] << 8 | bytes[at + 4 * index + 3];
      state = block(state, Array.from({ length: 16 }, (none, index) => word(index)));
    }
    return state.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  }

  /** The check sum of a record: the SHA-256 of its fields in the order of the shape, as JSON without blanks. */
  const sum = (record) => sha256(JSON.stringify(held(record, SHAPE, "the record")));

  /** The part of a check sum that is printed: its first eight digits, in capitals. */
  const printed = (digits) => (digits.slice(0, 4) + " " + digits.slice(4, 8)).toUpperCase();

  // ---- JSON. ----

  function toJson(record) {
    const own = held(record, SHAPE, "the record");
    return JSON.stringify(Object.assign({ format: FORMAT, version: VERSION }, own, { sum: sum(own) }), null, 2) + "\n";
  }

  function fromJson(text) {
    let found;
    try {
      found = JSON.parse(text);
    } catch (wrong) {
      fail("this file cannot be read as JSON: " + wrong.message);
    }
    if (!found || found.format !== FORMAT) fail("this file is not a measured record: it does not begin with \"format\": \"" + FORMAT + "\"");
    if (found.version !== VERSION) fail("this record is of version " + found.version + " of the format; this copy of the library reads version " + VERSION);
    const { format, version, sum: stated, ...rest } = found;
    if (typeof stated !== "string") fail("sum must be a text");
    return checked(held(rest, SHAPE, "the record"), stated);
  }

  /** {record, changed}: changed where the check sum in a file is not that of what it holds. */
  const checked = (record, stated) => ({ record, changed: sum(record) !== stated });

  // ---- CSV (RFC 4180). A first column says what a row is; fields stand one a row, lines with a column for each field.
  // A spreadsheet takes a cell that begins like a formula for one, so those, and cells that begin with an apostrophe,
  // get an apostrophe before them, which is taken off again: nothing is lost. Plain numbers stay numbers. ----

  const COLUMNS = ["kind", "text"].concat(Array.from(new Set(Object.values(LISTS).flatMap(Object.keys))).filter((name) => name !== "text"));
  const FORMULA = /^[=+\-@\t\r\n'\uFF1D\uFF0B\uFF0D\uFF20]/;
  const PLAIN_NUMBER = /^[-+]?\d+([.,]\d+)?$/;

  function cell(text) {
    const safe = FORMULA.test(text) && !PLAIN_NUMBER.test(text) ? "'" + text : text;
    return /[",\r\n]/.test(safe) || safe !== safe.trim() ? "\"" + safe.replace(/"/g, "\"\"") + "\"" : safe;
  }

  const uncell = (text) => (text.startsWith("'") ? text.slice(1) : text);

  function toCsv(record) {
    const own = held(record, SHAPE, "the record");
    const row = (kind, values) => COLUMNS.map((name) => (name === "kind" ? kind : cell(values[name] || ""))).join(",");
    const rows = [COLUMNS.join(","), row("format", { key: FORMAT, text: String(VERSION) })];
    for (const name of Object.keys(FIELDS)) rows.push(row("field", { key: name, text: own[name] }));
    for (const name of Object.keys(LISTS)) for (const entry of own[name]) rows.push(row(name, entry));
    rows.push(row("sum", { text: sum(own) }));
    return "\uFEFF" + rows.join("\r\n") + "\r\n";
  }

  /** The rows of a CSV text, each a list of cells. */
  function parse(text) {
    const rows = [];
    let [row, at] = [[], 0];
    while (at < text.length) {
      let value = "";
      if (text[at] === "\"") {
        const begun = at;
        for (at += 1; ; at += 1) {
          if (at >= text.length) fail("a quotation mark in row " + (rows.length + 1) + " is not closed (character " + (begun + 1) + ")");
          if (text[at] !== "\"") value += text[at];
          else if (text[at + 1] === "\"") { value += "\""; at += 1; } else break;
        }
        at += 1;
      } else {
        const end = /[,\r\n]/.exec(text.slice(at));
        const length = end ? end.index : text.length - at;
        value = text.slice(at, at + length);
        at += length;
      }
      row.push(value);
      if (text[at] === ",") {
        at += 1;
        if (at === text.length) row.push("");
        continue;
      }
      if (at < text.length && !/[\r\n]/.test(text[at])) fail("row " + (rows.length + 1) + " has text behind a closing quotation mark");
      at += text.startsWith("\r\n", at) ? 2 : 1;
      rows.push(row);
      row = [];
    }
    if (row.length) rows.push(row);
    return rows;
  }

  /** One row of a file into the record that is being read. */
  function take(found, cells, columns, where) {
    if (cells.length !== columns.length) fail(where + " has " + cells.length + " cells, but the head has " + columns.length);
    const values = Object.fromEntries(columns.map((name, index) => [name, uncell(cells[index])]));
    const kind = cells[columns.indexOf("kind")];
    const of = (shape) => Object.fromEntries(Object.keys(shape).map((name) => [name, values[name]]));
    if (kind === "format") {
      if (values.key !== FORMAT || values.text !== String(VERSION)) fail(where + ": this copy of the library reads " + FORMAT + " of version " + VERSION);
      found.format = true;
    } else if (kind === "field") {
      if (!Object.hasOwn(FIELDS, values.key)) fail(where + " has a field that is not known: " + values.key);
      if (Object.hasOwn(found.record, values.key)) fail(where + " gives the field " + values.key + " a second time");
      found.record[values.key] = values.text;
    } else if (Object.hasOwn(LISTS, kind)) {
      found.record[kind].push(of(LISTS[kind]));
    } else if (kind === "sum") {
      found.sum = values.text;
    } else {
      fail(where + " is of a kind that is not known: " + kind);
    }
  }

  function fromCsv(text) {
    const [columns = [], ...rows] = parse(text.replace(/^\uFEFF/, ""));
    const missing = COLUMNS.find((name) => !columns.includes(name));
    if (missing) fail("this file is not a measured record: its head has no column " + missing);
    const found = { record: Object.fromEntries(Object.keys(LISTS).map((name) => [name, []])), format: false, sum: "" };
    rows.forEach((cells, index) => {
      if (cells.length > 1 || cells[0] !== "") take(found, cells, columns, "row " + (index + 2));
    });
    if (!found.format) fail("this file has no row that says \"" + FORMAT + "\"");
    return checked(held(found.record, SHAPE, "the record"), found.sum);
  }

  /** Reads a file's text: {record, changed}, or {wrong} with words that say what is wrong and where. */
  function read(text) {
    try {
      if (text.length > LONGEST) fail("this file is too large to be a measured record");
      return /^\uFEFF?\s*[{[]/.test(text) ? fromJson(text.replace(/^\uFEFF/, "")) : fromCsv(text);
    } catch (wrong) {
      if (typeof wrong !== "string") throw wrong;
      return { wrong };
    }
  }

  /** The name of a record's file: hull (or whatever serial there is), date and page. */
  function fileName(record, ending) {
    const parts = [...record.serials.map((own) => own.text), record.date || record.begun, record.mark].filter(Boolean);
    const plain = parts.map((part) => part.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "")).filter(Boolean);
    return (plain.join("-") || "record") + "." + ending;
  }

  /** Text that can be written to any file: a half of a pair of surrogates is none. */
  const wellFormed = (text) => text.replace(/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g, "\uFFFD");

  Fettlebook.recordFile = { empty, fits, line, sum, printed, sha256, toJson, toCsv, read, fileName, wellFormed, SHAPE };
})(globalThis);
