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

  /** Letters to change, put in, leave out or let change places: the distance of optimal string alignment. */
  function distance(one, other) {
    let older = [];
    let old = other.map((_, place) => place).concat(other.length);
    for (let row = 1; row <= one.length; row += 1) {
      const next = [row];
      for (let column = 1; column <= other.length; column += 1) {
        const same = one[row - 1] === other[column - 1];
        let least = Math.min(old[column] + 1, next[column - 1] + 1, old[column - 1] + (same ? 0 : 1));
        const swapped = row > 1 && column > 1 && one[row - 1] === other[column - 2] && one[row - 2] === other[column - 1];
        if (swapped && !same) least = Math.min(least, older[column - 2] + 1);
        next.push(least);
      }
      older = old;
      old = next;
    }
    return old[other.length];
  }

  function lettersWrong(typed, word) {
    const over = typed.length - word.length;
    if (Math.abs(over) > 3) return Infinity;
    const whole = distance(typed, word);
    if (word.length < 5 || over <= 0) return whole;
    return Math.min(whole, 1 + distance(typed.slice(0, word.length), word));
  }

  function near(typed) {
    const letters = Array.from(typed);
    if (letters.length < 4) return [];
    const allowed = letters.length < 7 ? 1 : 2;
    const all = wordsOf(letters.slice(0, 2)).map(({ text, common }) => ({ text, common, off: lettersWrong(letters, Array.from(text)) }));
    const fit = all.filter(({ off }) => off > 0 && off <= allowed);
    const least = Math.min(...fit.map(({ off }) => off));
    return fit.filter(({ off }) => off === least).sort((one, other) => other.common - one.common);
  }

  function isWord(text) {
    return wordsOf([Array.from(text)[0]]).some((word) => word.text === text);
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
    const own = data.held(term.text) ? [[term.text, 1]] : [];
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
    const groups = open ? Fettlebook.findWords.begun(term.text, data.head().words) : [];
    const begun = (open ? begunWords(term.text) : []).concat(groups);
    const found = own.concat(begun.map((text) => [text, worths().halfTyped]));
    return found.length ? found : mistyped(term, question);
  }

  // ---- what the entries have of a question ----

  /** The best of a term's alternatives by entry, and how rare the term is: as the commonest of them. */
  function given(term, choices) {
    let rarity = Infinity;
    const best = new Map();
    for (const [text, worth] of choices) {
      const own = data.held(text);
      if (!own) {
        rarity = 0;
        continue;
      }
      const rare = own.rarity / 1000;
      rarity = Math.min(rarity, rare);
      for (const [entry, kind, level, title, withdrawn] of own.postings) {
        let had = best.get(entry);
        if (!had) best.set(entry, had = { kind, score: 0, title: 0, withdrawn: false });
        had.score = Math.max(had.score, worth * rare * weights[level]);
        had.title = Math.max(had.title, worth * title / 15);
        had.withdrawn = had.withdrawn || (withdrawn && text === term.text);
      }
    }
    return { rarity: best.size ? rarity : 0, best };
  }

  /** What every entry has of the question, and how rare its known terms are together. */
  function gathered(terms, open, question) {
    const had = new Map();
    let known = 0;
    const onlyNumbers = terms.every((term) => term.kind === "number");
    terms.forEach((term, place) => {
      const { rarity, best } = given(term, alternatives(term, open && place === terms.length - 1, question));
      const counted = onlyNumbers || term.kind !== "number" ? rarity : 0;
      known += counted;
      for (const [entry, own] of best) {
        let sum = had.get(entry);
        if (!sum) had.set(entry, sum = { kind: own.kind, sum: 0, rarity: 0, title: 0, withdrawn: false });
        sum.sum += own.score;
        sum.rarity += counted;
        sum.title += own.title;
        sum.withdrawn = sum.withdrawn || own.withdrawn;
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

  function ranked(had, known, worth) {
    const all = [];
    for (const [entry, own] of had) {
      const share = known > 0 ? own.rarity / known : 1;
      const title = Math.min(own.title, 1);
      const score = own.sum * (share * share) * (1 + worths().titleNamed * title * title)
        * (own.withdrawn ? worths().withdrawn : 1) * worth[own.kind].factor;
      const rounded = Math.floor(score * SCORE_STEPS + 0.5) / SCORE_STEPS;
      if (rounded > 0) all.push({ entry, kind: own.kind, score: rounded });
    }
    return all.sort((one, other) => other.score - one.score || one.kind - other.kind || one.entry - other.entry);
  }

  /** The issue of a page that is asked for: `J01/3`, `J-01 issue 3`. */
  function issueOf(terms, text) {
    const at = terms.findIndex((term, place) => term.kind === "number" && place > 0 && (terms[place - 1].text === "issu"
      || (terms[place - 1].kind === "mark" && text.slice(terms[place - 1].to, term.from) === "/")));
    return at < 0 ? 0 : Number(terms[at].text);
  }

  // ---- asking ----

  /**
   * The answers to a question as far as the index is there; `find.data.wanted` names the files that are still missing,
   * and as long as it does, the answers are not the final ones.
   */
  find.answers = function (typed, asking) {
    data.wanted.clear();
    const head = data.head();
    if (!head) return null;
    const text = Array.from(String(typed)).slice(0, LONGEST_QUESTION).join("");
    const scanned = Fettlebook.findWords.scan(text, head.units);
    const settled = Fettlebook.findWords.settled(scanned, head.words);
    const terms = settled.filter((term, place) => !place || term.text !== settled[place - 1].text).slice(0, MOST_TERMS);
    const question = { text, meant: [], mended: new Map() };
    const open = /[\p{Alphabetic}\p{N}]$/u.test(text);
    const { had, known } = gathered(terms, open, question);
    const machine = { choices: asking.choices || [], serials: asking.serials };
    const worth = worthOfClasses(machine, wishes(scanned, question.mended));
    const all = ranked(had, known, worth);
    const hidden = all.slice(0, MOST).filter(({ kind }) => !worth[kind].shown).length;
    const shown = all.filter(({ kind }) => worth[kind].shown);
    const least = shown.length ? shown[0].score * COUNTED : 0;
    const counts = head.families.map(([word], family) => [word,
      shown.filter(({ kind, score }) => worth[kind].family === family && score >= least).length]);
    const best = shown.filter(({ kind }) => !asking.family || head.families[worth[kind].family][0] === asking.family);
    return {
      answers: best.slice(0, MOST).map(({ entry, kind, score }) => answer(entry, score, worth[kind], issueOf(scanned, text))),
      hidden,
      families: counts.filter(([, count]) => count),
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
