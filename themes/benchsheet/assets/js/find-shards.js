// What the library's index says, from files that are fetched when a question needs them. A page opened from a folder can
// fetch nothing, so every file is a script that calls Fettlebook.find.take. The format stands in DEVELOPERS.md.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  const find = Fettlebook.find = Fettlebook.find || {};
  if (find.data) return;
  const VERSION = 1;
  const SHORT = 60;
  const DIGITS = 90;
  const files = new Map();
  const asked = new Map();
  const read = new Map();
  const wanted = new Set();
  const values = new Map();
  for (let code = 35, value = 0; value < DIGITS; code += 1) {
    const sign = String.fromCharCode(code);
    if (sign !== "<" && sign !== "\\") values.set(sign, value++);
  }

  /** Called by every file with what it holds. */
  find.take = function (kind, number, data) {
    files.set(kind + "-" + number, data);
  };

  /** What a file holds, by `make` of it once; undefined, and wanted, as long as it is not there. */
  function file(name, make) {
    if (!files.has(name)) {
      wanted.add(name);
      return undefined;
    }
    if (!read.has(name)) read.set(name, make(files.get(name)));
    return read.get(name);
  }

  const head = () => file("head-0", (data) => data);

  /** The place of the last of sorted beginnings that is not above a text. */
  function last(beginnings, text) {
    let low = 0;
    let high = beginnings.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (before(text, beginnings[middle])) high = middle; else low = middle + 1;
    }
    return Math.max(0, low - 1);
  }

  /** Order by code points, as the index is sorted; JavaScript's own is by halves of them. */
  function before(one, other) {
    const a = Array.from(one);
    const b = Array.from(other);
    for (let place = 0; place < a.length && place < b.length; place += 1) {
      if (a[place] !== b[place]) return a[place].codePointAt(0) < b[place].codePointAt(0);
    }
    return a.length < b.length;
  }

  function pairs(data) {
    const shard = new Map();
    for (let place = 0; place < data.length; place += 2) shard.set(data[place], data[place + 1]);
    return shard;
  }

  const shard = (number) => file("terms-" + number, pairs);

  /**
   * What is known of a term: {rarity, postings}, in the latter for each entry four numbers, one after the other: entry,
   * class, level, and title with 16 more if the entry withdraws it. Null if nothing is; undefined if its file is missing.
   */
  function held(term) {
    const own = shard(last(head().shards, term));
    if (!own) return undefined;
    const code = own.get(term);
    if (typeof code !== "string") return code || null;
    const decoded = decode(code);
    own.set(term, decoded);
    return decoded;
  }

  function decode(code) {
    let place = 0;
    const digit = () => values.get(code[place++]);
    const number = () => {
      const value = digit();
      return value < SHORT ? value : value + (DIGITS - SHORT) * number();
    };
    const rarity = number();
    const postings = [];
    while (place < code.length) {
      const group = number();
      let entry = 0;
      for (let left = number(); left > 0; left -= 1) {
        entry += number();
        const level = digit();
        postings.push(entry++, group >> 1, level, group % 2 ? digit() : 0);
      }
    }
    return { rarity, postings };
  }

  /** Terms that begin with a text and are longer, in order, at most so many. */
  function begun(text, most) {
    const found = [];
    for (let number = last(head().shards, text); number < head().shards.length; number += 1) {
      const own = shard(number);
      if (!own) return found;
      for (const term of own.keys()) {
        if (term.startsWith(text) && term.length > text.length && found.push(term) === most) return found;
        if (!term.startsWith(text) && before(text, term)) return found;
      }
    }
    return found;
  }

  function unpack(data) {
    const words = [];
    let text = "";
    for (const line of data.split(" ").slice(0, -1)) {
      text = text.slice(0, values.get(line[0])) + line.slice(2);
      words.push({ text, common: values.get(line[1]) });
    }
    return words;
  }

  /** The number of the dictionary's part in which words begin with this letter. */
  const part = (letter) => last(head().parts, letter);
  const words = (number) => file("words-" + number, unpack) || [];

  function card(entry) {
    const cards = head().cards;
    const group = file("cards-" + Math.floor(entry / cards), (data) => data);
    return group && group[entry % cards];
  }

  /** Takes a file that stands in the page itself, as in the library's one file; whether it does. */
  function takeInside(name) {
    const data = Fettlebook.inside && Fettlebook.inside("assets/find/" + name + ".js");
    if (data === undefined) return false;
    find.take(...name.split("-"), data);
    return true;
  }

  async function load(name) {
    if (takeInside(name)) return;
    await fetchFile(name);
  }

  function fetchFile(name) {
    if (!asked.has(name)) {
      asked.set(name, new Promise((resolve, reject) => {
        const script = window.document.createElement("script");
        script.src = Fettlebook.scriptAddress("assets/find/" + name + ".js");
        script.onload = resolve;
        script.onerror = () => {
          asked.delete(name);
          reject(new Error(name));
        };
        window.document.head.append(script);
      }));
    }
    return asked.get(name);
  }

  /** Fetches what was wanted and is not there. */
  async function fetchWanted() {
    const names = Array.from(wanted);
    wanted.clear();
    await Promise.all(names.map(load));
    const own = head();
    if (Fettlebook.isMixed() || !own || own.version !== VERSION || names.some((name) => !files.has(name))) throw new Error("index");
  }

  find.data = { head, held, begun, part, words, card, wanted, fetchWanted };
})(typeof window === "undefined" ? globalThis : window);
