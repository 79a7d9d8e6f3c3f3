// Questions to terms, apart from the page. Term by term as in src/search/scan and src/search/analysis.rs, to which
// tests/search_words.rs holds it; the notes stand there.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};

  /** Rows of "ending>instead", where nothing may stand behind. */
  const table = (rows) => new Map(rows.split(" ").map((row) => row.split(">")));

  // Stems: Snowball's English as the crate frostem has it. Vowels and endings are plain letters, so only what counts or
  // excludes letters looks at whole code points.

  const VOWEL = /[aeiouy]/;
  const REGION = /[^aeiouy]*[aeiouy]+[^aeiouy]/uy;
  // Beginnings that are kept whole, because words of other meanings would share the stem.
  const FIRST_REGION = new RegExp("arsen|commun|emerg|gener|inter|later|organ|past|univers|" + REGION.source, "uy");
  const ODD = table(
    "andes atlas bias cosmos early>earli gently>gentl howe idly>idl news only>onli singly>singl skies>sky " +
    "skis>ski sky ugly>ugli",
  );
  const DERIVED = table(
    "tional>tion enci>ence anci>ance abli>able entli>ent izer>ize ization>ize ational>ate ation>ate ator>ate " +
    "alism>al aliti>al alli>al fulli>ful fulness>ful ousli>ous ousness>ous iveness>ive iviti>ive biliti>ble " +
    "bli>ble ogist>og ogi>og lessli>less li",
  );
  const DERIVED_TWICE = table("tional>tion ational>ate alize>al icate>ic iciti>ic ical>ic ful ness ative");
  const LATIN = table("ic ance ence able ible ate ive ize iti al ism ion er ous ant ent ment ement");
  // What must stand before some of the endings.
  const NEEDS = { ogi: /l$/, li: /[cdeghkmnrt]$/, ion: /[st]$/ };

  /** A word with its longest ending of a table exchanged, where it begins in the region. */
  function exchanged(word, endings, region) {
    for (let length = 7; length > 1; length -= 1) {
      const ending = word.slice(-length);
      if (!endings.has(ending)) continue;
      const before = word.slice(0, -ending.length);
      const fits = before.length >= region && (!NEEDS[ending] || NEEDS[ending].test(before));
      return fits ? before + (endings.get(ending) || "") : word;
    }
    return word;
  }

  const isShort = (word) => /[^aeiouy][aeiouy][^aeiouywxY]$|^[aeiouy][^aeiouy]$|past$/u.test(word);

  function withoutPlural(word) {
    if (/sses$/.test(word)) return word.slice(0, -2);
    if (/ie[ds]$/.test(word)) return word.slice(0, /^.?ie.$/su.test(word) ? -1 : -2);
    return /s$/.test(word) && !/[us]s$/.test(word) && VOWEL.test(word.slice(0, -2)) ? word.slice(0, -1) : word;
  }

  function withoutTense(word, region) {
    const [ending] = /(?:e?ed|ing)(?:ly)?$/.exec(word) || [""];
    const before = word.slice(0, word.length - ending.length);
    if (/^ee/.test(ending)) return before.length < region || /^(?:succ|proc|exc)$/.test(before) ? word : before + "ee";
    if (/^[^aeiouy]ying$/u.test(word)) return before.slice(0, -1) + "ie";
    if (!ending || /^(?:even|cann|inn|earr|herr|out)ing$/.test(word) || !VOWEL.test(before)) return word;
    if (/(?:at|bl|iz)$/.test(before) || before.length === region && isShort(before)) return before + "e";
    return /([bdfgmnprt])\1$/.test(before) && !/^[aeo]..$/.test(before) ? before.slice(0, -1) : before;
  }

  /** The stem of a word in small letters. */
  function stem(word) {
    if (ODD.has(word)) return ODD.get(word) || word;
    if (!/^.{3}/su.test(word)) return word;
    // Until the end a Y is one that sounds as a consonant.
    word = word.replace(/^'/, "").replace(/^y|([aeiouy])y/g, (all, vowel = "") => vowel + "Y");
    const behind = (region, from) => {
      region.lastIndex = from;
      return region.test(word) ? region.lastIndex : word.length;
    };
    const first = behind(FIRST_REGION, 0);
    const second = behind(REGION, first);
    word = withoutTense(withoutPlural(word.replace(/'(?:s'?)?$/, "")), first);
    if (/.[^aeiouy][yY]$/su.test(word)) word = word.slice(0, -1) + "i";
    word = exchanged(word, DERIVED, first);
    word = exchanged(word, DERIVED_TWICE, /ative$/.test(word) ? second : first);
    word = exchanged(word, LATIN, second);
    const before = word.slice(0, -1);
    const isInFirst = before.length >= first && /e$/.test(word) && !isShort(before);
    if (isInFirst || before.length >= second && /e$|ll$/.test(word)) word = before;
    return word.replace(/Y/g, "y");
  }

  // Terms.

  const START = /[0-9\p{Alphabetic}]/gu;
  const WORD = /[\p{Alphabetic}']+/uy;
  const BLANKS = / */y;
  const BEFORE_DIGITS = /[-/ ]?(?=[0-9])/y;
  const STROKE = /\/(?=[0-9])/y;
  const NUMBER = /[0-9]+(?:[.,][0-9]+)*/y;
  // From its digits on; behind letters a stroke ends it.
  const MARK = /[0-9a-z]*(?:(?: *x *|[-.])[0-9][0-9a-z]*)*/y;
  const STROKED_MARK = /[0-9a-z]*(?:(?: *x *|[-./])[0-9][0-9a-z]*)*/y;
  const UNIT = /[\p{Alphabetic}°%·./" ²³]{0,12}/uy;
  const ALPHANUMERIC = /[\p{Alphabetic}\p{N}]/uy;
  const BARE = table(
    "inch>in inches>in foot>ft feet>ft pound>lb pounds>lb lbs>lb meter>metre meters>metre metres>metre " +
    "newtons>newton",
  );

  const bare = (spelling) => (spelling.match(/[\p{Alphabetic}\p{N}°%"/]+/gu) || []).map((word) => BARE.get(word) || word).join("");

  /** A question with the slips put right that people make in part numbers: 2O3, d c 203. */
  const mended = (text) => text
    .replace(/([0-9]{2}|[0-9](?=o[0-9]))o/gi, (all, digits) => digits + "0")
    .replace(/(^|[^\p{Alphabetic}\p{N}])(?<![0-9] )(\p{Alphabetic})[ .](\p{Alphabetic})[ .]?(?=[0-9])/gu, "$1$2$3");

  /** In small letters and plain shape. No letter gets longer or shorter, so places stay what they were. */
  const plain = (text) => Array.from(text, (letter) => Array.from(letter.toLowerCase())[0]).join("")
    .replace(/×/g, "x")
    .replace(/[\u2011\u2013\u2014\u2212]/g, "-")
    .replace(/[\u00A0\u202F\t\n]/g, " ")
    .replace(/\u03BC/g, "\u00B5")
    .replace(/\u2019/g, "'");

  const withoutZeros = (mark) => mark.replace(/^([^0-9]+)0+(?=[1-9])/, "$1");

  /** `17.50` as `17.5`. The dot takes all first: looking for noughts from the front would take long in a row of them. */
  const shortest = (number) => (number.includes(".") ? number.replace(/^(.*[^0])0*$/, "$1").replace(/\.$/, "") : number);

  /** A value as its step of about one per cent, or its degree, as far as the program's whole numbers go. */
  function step(kind, size) {
    const steps = kind === "temperature" ? size : size && Math.log(size) * 100;
    const whole = Math.sign(steps) * Math.round(Math.abs(steps));
    return "=" + kind + ":" + (whole < 2 ** 63 ? BigInt(whole) : 2n ** 63n - 1n);
  }

  /** The terms of a question: {text, kind, from, to}, with kind word, mark, value or number and places in the mended text. */
  function scan(text, units) {
    const letters = plain(mended(text));
    const terms = [];
    let at = 0;
    // So far no number is the beginning of a mark; remembered, because a row of them would be gone through for each.
    let unlettered = 0;

    /** Where what is wanted at a place ends, or -1. */
    function end(wanted, place) {
      wanted.lastIndex = place;
      return wanted.test(letters) ? wanted.lastIndex : -1;
    }

    const push = (kind, text, from, to) => terms.push({ text, kind, from, to });

    function mark(from, to) {
      const written = letters.slice(from, to);
      const whole = written.replace(/[-/ ]/g, "");
      const first = written.split(/[x/.]/)[0].replace(/[- ]/g, "");
      if (first.length > 1 && first !== whole && /[0-9]/.test(first)) push("mark", withoutZeros(first), from, to);
      push("mark", withoutZeros(whole), from, to);
      at = to;
    }

    function word(from) {
      const to = end(WORD, from);
      const written = letters.slice(from, to);
      const digits = end(BEFORE_DIGITS, to);
      if (digits < 0 || !(/^.{1,3}$/u.test(written) || written === "step")) {
        push("word", stem(written.replace(/'/g, "")), from, to);
      } else {
        const apart = letters[to] === " ";
        if (apart) push("word", stem(written), from, to);
        mark(from, end(MARK, digits));
        if (!apart) return;
      }
      at = to;
    }

    /** [kind, factor, offset, end] of the unit with the longest spelling behind a number. */
    function unitAfter(place) {
      const start = end(BLANKS, place);
      const typed = Array.from(letters.slice(start, end(UNIT, start)));
      for (; typed.length; typed.pop()) {
        const to = start + typed.join("").length;
        const spelling = bare(letters.slice(start, to));
        const whole = letters[to - 1] !== " " && end(ALPHANUMERIC, to) < 0;
        if (whole && Object.hasOwn(units, spelling)) return [...units[spelling], to];
      }
      return null;
    }

    function withoutUnit(from, to) {
      let tail = to;
      while (tail > from && /[a-z]/.test(letters[tail - 1])) tail -= 1;
      return Object.hasOwn(units, bare(letters.slice(tail, to))) ? tail : to;
    }

    function number(from) {
      const to = end(NUMBER, from);
      const written = letters.slice(from, to).replace(/,/g, ".");
      const stroke = end(STROKE, to);
      const unit = stroke < 0 && unitAfter(to);
      at = to;
      if (unit) {
        const [kind, factor, offset, behind] = unit;
        // 1.2.3 is none.
        const value = Number(written);
        if (!Number.isNaN(value)) push("value", step(kind, value * factor + offset), from, behind);
        at = behind;
      } else if (stroke >= 0) {
        return mark(from, end(STROKED_MARK, stroke));
      } else if (to > unlettered) {
        const last = withoutUnit(to, end(STROKED_MARK, to));
        if (/[a-z]/.test(letters.slice(to, last))) return mark(from, last);
        unlettered = last;
      }
      return push("number", shortest(written), from, to);
    }

    for (;;) {
      START.lastIndex = at;
      const start = START.exec(letters);
      if (!start) return terms;
      if (/[0-9]/.test(start[0])) number(start.index); else word(start.index);
    }
  }

  // The terms as the index holds them.

  const books = new WeakMap();

  function book(words) {
    if (!books.has(words)) books.set(words, { empty: new Set(words.empty), synonyms: new Map(words.synonyms) });
    return books.get(words);
  }

  /** Without empty words, every group of synonyms under one term; `words` is {empty: [stem], synonyms: [[stems, group]]}. */
  function settled(terms, words) {
    const { empty, synonyms } = book(words);
    const found = [];
    for (let place = 0; place < terms.length; place += 1) {
      const [term, next] = terms.slice(place, place + 2);
      const isWord = term.kind === "word";
      const two = isWord && next && next.kind === "word" ? synonyms.get(term.text + " " + next.text) : undefined;
      const group = two === undefined && isWord ? synonyms.get(term.text) : two;
      if (two !== undefined) place += 1;
      if (group !== undefined) {
        const { to } = two === undefined ? term : next;
        for (const text of group.split(" ")) found.push({ ...term, text, to });
      } else if (!isWord || !empty.has(term.text)) found.push(term);
    }
    return found;
  }

  /** What stands for the groups of the spellings of one word that begin so, in order. */
  function begun(text, words) {
    const rows = words.synonyms.filter(([spelling, group]) => spelling.startsWith(text) && !(spelling + group).includes(" "));
    return Array.from(new Set(rows.map(([, group]) => group))).sort();
  }

  Fettlebook.findWords = { stem, mended, scan, settled, begun };
})(globalThis);
