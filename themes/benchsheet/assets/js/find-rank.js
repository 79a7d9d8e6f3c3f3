// What of the library answers a question best. The same arithmetic in the same order as src/search/rank.rs, to which
// tests/find_parity.rs holds it; the reasons stand there.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  const find = Fettlebook.find = Fettlebook.find || {};
  if (find.ask) return;
  const data = find.data;
  const LONGEST_QUESTION = 400;
  const MOST_TERMS = 24;
  const MOST_BEGUN = 8;
  const MOST_BEGUN_MARKS = 24;
  const MOST_GROUPS = 4;
  const PIECE_LETTERS = 3;
  const MOST = 10;
  const SCORE_STEPS = 1e5;
  const COUNTED = 0.1;
  const weights = [0.02];
  while (weights.length < 90) weights.push(weights[weights.length - 1] * 1.1);

  const worths = () => data.head().worths;

  // ---- what a term may mean ----

  /** Words of the dictionary in the parts of some letters; each word once. */
  function wordsOf(letters) {
    const parts = new Set(letters.map(data.part));
    return Array.from(parts).sort((one, other) => one - other).flatMap(data.words);
  }

  function begunWords(typed) {
    const words = wordsOf([Array.from(typed)[0]]);
    const begun = words.filter((word) => word.text.startsWith(typed) && word.text.length > typed.length);
    return begun.sort((one, other) => other.common - one.common).slice(0, MOST_BEGUN).map((word) => word.text);
  }

  /**
   * Letters to change, put in, leave out or let change places: the distance of optimal string alignment; Infinity if it
   * is above `most`.
   */
  function distance(one, other, most) {
    let older = [];
    let old = other.map((_, place) => place).concat(other.length);
    let nearest = 0;
    for (let row = 1; row <= one.length; row += 1) {
      const next = [row];
      const before = nearest;
      nearest = row;
      for (let column = 1; column <= other.length; column += 1) {
        const same = one[row - 1] === other[column - 1];
        let least = Math.min(old[column] + 1, next[column - 1] + 1, old[column - 1] + (same ? 0 : 1));
        const swapped = row > 1 && column > 1 && one[row - 1] === other[column - 2] && one[row - 2] === other[column - 1];
        if (swapped && !same) least = Math.min(least, older[column - 2] + 1);
        next.push(least);
        nearest = Math.min(nearest, least);
      }
      // Nothing below gets less than the least of two rows.
      if (before > most && nearest > most) return Infinity;
      older = old;
      old = next;
    }
    return old[other.length] > most ? Infinity : old[other.length];
  }

  function lettersWrong(typed, word, most) {
    const over = typed.length - word.length;
    if (Math.abs(over) > 3) return Infinity;
    const whole = Math.abs(over) > most ? Infinity : distance(typed, word, most);
    if (word.length < 5 || over <= 0) return whole;
    return Math.min(whole, 1 + distance(typed.slice(0, word.length), word, most - 1));
  }

  function near(typed) {
    const letters = Array.from(typed);
    if (letters.length < 4) return [];
    const allowed = letters.length < 7 ? 1 : 2;
    const all = wordsOf(letters.slice(0, 2)).map(({ text, common }) => ({ text, common, off: lettersWrong(letters, Array.from(text), allowed) }));
    const fit = all.filter(({ off }) => off > 0 && off <= allowed);
    const least = Math.min(...fit.map(({ off }) => off));
    return fit.filter(({ off }) => off === least).sort((one, other) => other.common - one.common);
  }

  function isWord(text) {
    return data.words(data.part(Array.from(text)[0])).some((word) => word.text === text);
  }

  function twoWords(typed) {
    const letters = Array.from(typed);
    for (let cut = letters.length - PIECE_LETTERS; cut >= PIECE_LETTERS; cut -= 1) {
      const pieces = [letters.slice(0, cut).join(""), letters.slice(cut).join("")];
      if (isWord(pieces[0]) && isWord(pieces[1])) return pieces;
    }
    return [];
  }

  function mistyped(term, question) {
    const found = near(term.text);
    if (!found.length) return twoWords(term.text).map((text) => [text, worths().twoWrong]);
    question.meant.push([question.text.slice(term.from, term.to), found[0].text]);
    question.mended.set(term.text, found[0].text);
    return found.map(({ text, off }) => [text, off === 1 ? worths().oneWrong : worths().twoWrong]);
  }

  function alternatives(term, open, question) {
    const known = data.held(term.text);
    const own = known ? [[term.text, 1]] : [];
    if (term.kind === "value") {
      const at = term.text.lastIndexOf(":") + 1;
      const step = Number(term.text.slice(at));
      const next = [step - 1, step + 1].map((other) => [term.text.slice(0, at) + other, worths().nextStep]);
      return own.concat(next.filter(([text]) => data.held(text)));
    }
    if (term.kind !== "word") {
      const begun = open && Array.from(term.text).length > 1 ? data.begun(term.text, MOST_BEGUN_MARKS) : [];
      return own.concat(begun.map((text) => [text, worths().halfTyped]));
    }
    const begins = open && Array.from(term.text).length > 1;
    const groups = begins ? Fettlebook.findWords.begun(term.text, data.head().words).slice(0, MOST_GROUPS) : [];
    const begun = (begins ? begunWords(term.text) : []).concat(groups.filter((text) => data.held(text)));
    const found = own.concat(begun.map((text) => [text, worths().halfTyped]));
    // Words are not looked through for a slip before it is known to be one.
    return found.length || known === undefined ? found : mistyped(term, question);
  }

  // ---- what the entries have of a question ----

  /**
   * Gives the entries in `had` the best of a term's alternatives as `score` and `part` (of the title). Returns which
   * entries, and how rare the term is: as the commonest of the alternatives.
   */
  function given(term, choices, had) {
    let rarity = Infinity;
    const touched = new Set();
    for (const [text, worth] of choices) {
      const own = data.held(text);
      if (!own) rarity = 0;
      // Nothing is reckoned in vain while files are missing.
      if (!own || data.wanted.size) continue;
      const rare = own.rarity / 1000;
      const isOwn = text === term.text;
      const { postings } = own;
      rarity = Math.min(rarity, rare);
      for (let at = 0; at < postings.length; at += 4) {
        const told = postings[at + 3];
        const entry = entryOf(had, postings[at], postings[at + 1]);
        touched.add(entry);
        entry.score = Math.max(entry.score, worth * rare * weights[postings[at + 2]]);
        if (told) entry.part = Math.max(entry.part, worth * (told % 16) / 15);
        if (told > 15 && isOwn) entry.withdrawn = true;
      }
    }
    return { rarity: touched.size ? rarity : 0, touched };
  }

  function entryOf(had, entry, kind) {
    let own = had.get(entry);
    if (!own) had.set(entry, own = { entry, kind, sum: 0, rarity: 0, title: 0, withdrawn: false, score: 0, part: 0 });
    return own;
  }

  /** What every entry has of the question, and how rare its known terms are together. */
  function gathered(terms, open, question) {
    const had = new Map();
    let known = 0;
    const onlyNumbers = terms.every((term) => term.kind === "number");
    terms.forEach((term, place) => {
      const { rarity, touched } = given(term, alternatives(term, open && place === terms.length - 1, question), had);
      const counted = onlyNumbers || term.kind !== "number" ? rarity : 0;
      known += counted;
      for (const own of touched) {
        own.sum += own.score;
        own.rarity += counted;
        own.title += own.part;
        own.score = own.part = 0;
      }
    });
    return { had, known };
  }

  // ---- what kinds of entry are worth ----

  function wishes(terms, mended) {
    const told = " " + terms.map((term) => mended.get(term.text) || term.text).join(" ") + " ";
    const wanted = new Map();
    for (const [stems, family, factor] of data.head().wishes) {
      if (told.includes(" " + stems + " ")) wanted.set(family, Math.max(wanted.get(family) || 1, factor));
    }
    const torque = terms.some((term) => term.kind === "value" && term.text.startsWith("=torque"));
    const family = data.head().families.findIndex(([word]) => word === "torque");
    if (torque && !wanted.has(family)) wanted.set(family, worths().torqueTold);
    return wanted;
  }

  /** Whether a class is for a machine: a choice of each variant that it speaks of, and no serial outside its range. */
  function isMine([, , , named, from, to], { choices, serials }) {
    const { variants } = data.head();
    const chosen = (named || []).every(([variant, own]) => {
      const told = variants[variant].find((choice) => choices.includes(choice));
      return told === undefined || own.includes(told);
    });
    return chosen && (!serials || Fettlebook.machine.fits({ choices: {}, serials }, "", from, to));
  }

  function worthOfClasses(question, wanted) {
    const { classes, families } = data.head();
    return classes.map((own) => {
      const mine = isMine(own, question);
      const factor = own[1] * (wanted.get(own[0]) || 1) * (mine ? 1 : worths().otherMachine);
      return { family: own[0], current: own[2] === 1, factor, shown: mine || !families[own[0]][1] };
    });
  }

  /** Every entry that has something of the question, in no order. */
  function scored(had, known, worth) {
    const all = [];
    for (const own of had.values()) {
      const share = known > 0 ? own.rarity / known : 1;
      const title = Math.min(own.title, 1);
      const score = own.sum * (share * share) * (1 + worths().titleNamed * title * title)
        * (own.withdrawn ? worths().withdrawn : 1) * worth[own.kind].factor;
      const rounded = Math.floor(score * SCORE_STEPS + 0.5) / SCORE_STEPS;
      if (rounded > 0) all.push({ entry: own.entry, kind: own.kind, score: rounded });
    }
    return all;
  }

  const order = (one, other) => other.score - one.score || one.kind - other.kind || one.entry - other.entry;

  /** The best of a list in order: sorting all of it would take the longest of everything. */
  function bestOf(list) {
    const best = [];
    for (const own of list) {
      if (best.length === MOST && order(own, best[MOST - 1]) > 0) continue;
      let place = best.length;
      while (place > 0 && order(own, best[place - 1]) < 0) place -= 1;
      best.splice(place, 0, own);
      if (best.length > MOST) best.pop();
    }
    return best;
  }

  /** How many good answers each family has: [[word, count], …]. */
  function counted(shown, least, worth) {
    const counts = data.head().families.map(([word]) => [word, 0]);
    for (const { kind, score } of shown) if (score >= least) counts[worth[kind].family][1] += 1;
    return counts.filter(([, count]) => count);
  }

  /** The issue of a page that is asked for: `J01/3`, `J-01 issue 3`. */
  function issueOf(terms, text) {
    const at = terms.findIndex((term, place) => term.kind === "number" && place > 0 && (terms[place - 1].text === "issu"
      || (terms[place - 1].kind === "mark" && text.slice(terms[place - 1].to, term.from) === "/")));
    return at < 0 ? 0 : Number(terms[at].text);
  }

  // ---- asking ----

  /**
   * The answers to a question. As long as `find.data.wanted` names files that are still missing, they are not the final
   * ones, or null: cards are wanted only once it is certain whose.
   */
  find.answers = function (typed, asking) {
    data.wanted.clear();
    const head = data.head();
    if (!head) return null;
    const own = Array.from(String(typed)).slice(0, LONGEST_QUESTION).join("");
    const scanned = Fettlebook.findWords.scan(own, head.units);
    // Terms stand at places of the mended question, which may be shorter than the typed one.
    const text = Fettlebook.findWords.mended(own);
    const settled = Fettlebook.findWords.settled(scanned, head.words);
    const terms = settled.filter((term, place) => !place || term.text !== settled[place - 1].text).slice(0, MOST_TERMS);
    const question = { text, meant: [], mended: new Map() };
    const open = /[\p{Alphabetic}\p{N}]$/u.test(text);
    const { had, known } = gathered(terms, open, question);
    if (data.wanted.size) return null;
    const machine = { choices: asking.choices || [], serials: asking.serials };
    const worth = worthOfClasses(machine, wishes(scanned, question.mended));
    const all = scored(had, known, worth);
    const shown = all.filter(({ kind }) => worth[kind].shown);
    const [first] = bestOf(shown);
    const ofFamily = shown.filter(({ kind }) => !asking.family || head.families[worth[kind].family][0] === asking.family);
    return {
      answers: bestOf(ofFamily).map(({ entry, kind, score }) => answer(entry, score, worth[kind], issueOf(scanned, text))),
      hidden: bestOf(all).filter(({ kind }) => !worth[kind].shown).length,
      families: counted(shown, first ? first.score * COUNTED : 0, worth),
      meant: question.meant,
      stems: terms.filter((term) => term.kind === "word").map((term) => term.text),
    };
  };

  function answer(entry, score, { family, current }, issue) {
    const [id, title, said, address, machines, more] = data.card(entry) || [];
    const { issues, units, signal } = more || {};
    const newest = issue > 0 && issues ? issues.find(([own]) => own >= issue) || issues[issues.length - 1] : null;
    const text = newest ? newest[1] : said;
    return { family: data.head().families[family][0], id, title, text, address, machines, units, signal, current, score };
  }

  /** The same once everything that it needs has been fetched. */
  find.ask = async function (typed, asking) {
    for (;;) {
      const found = find.answers(typed, asking);
      if (!data.wanted.size) return inWords(found);
      await data.fetchWanted();
    }
  };

  /** A stem that was meant, as a word that one of the answers has. */
  function inWords(found) {
    const words = found.answers.flatMap(({ title, text }) => (title + " " + text).match(/\p{Alphabetic}+/gu) || []);
    const whole = (stem) => words.find((word) => Fettlebook.findWords.stem(word.toLowerCase()) === stem) || stem;
    found.meant = found.meant.map(([typedWord, stem]) => [typedWord, whole(stem)]);
    return found;
  }
})(typeof window === "undefined" ? globalThis : window);
