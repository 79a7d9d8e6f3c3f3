// One answer as a tag, like the label that is tied to a part: the value first, then for which machine, what it is, and
// under what conditions. The whole tag is a link. Whatever an answer says goes in as text.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make } = Fettlebook.sheet;
  const VALUES = ["torque", "fit", "setting", "sum"];
  const SIGNALS = ["danger", "warning", "caution", "notice"];
  const LONG = 24; // letters of a value that still stand in one large line

  /** Was the word asked for? Words are compared as the engine compares them; without it, by how they begin. */
  function isAsked(word, stems) {
    const own = word.toLowerCase();
    const words = Fettlebook.findWords;
    if (words && words.stem) return stems.includes(words.stem(own));
    return stems.some((stem) => stem.length > 2 && own.startsWith(stem));
  }

  /** The text in pieces, each word that was asked for in <mark>. */
  function marked(text, stems) {
    const pieces = String(text).split(/([\p{L}\p{N}]+)/u).filter(Boolean);
    return pieces.map((piece) => (/[\p{L}\p{N}]/u.test(piece) && isAsked(piece, stems) ? make("mark", {}, piece) : piece));
  }

  /** An address of this site; anything else leads to the A–Z. */
  function own(address) {
    return Fettlebook.place.address(/^[^:/\\?#]+\.html(#.*)?$/.test(address) ? address : "a-z.html");
  }

  function line(name, ...content) {
    return make("span", { class: name }, ...content);
  }

  /** What kind of thing it is, in the words of the keys that narrow. */
  function familyWord(family) {
    const key = document.querySelector(".find-narrow [data-family='" + window.CSS.escape(family) + "'] span");
    return key ? key.textContent : family;
  }

  /** A value in every system of units, set as on all pages, if the answer has it so; else the words of the answer. */
  function value(answer, text, stems) {
    const units = answer.units;
    if (!units) return line("tag-value" + (text.length > LONG ? " tag-long" : ""), ...marked(text, stems));
    const systems = ["metric", "imperial", "gravimetric"].filter((system) => units[system]);
    const said = systems.map((system) => make("span", { "data-system": system }, make("b", {}, units[system])));
    return line("tag-value tag-units figure-value", make("span", { class: "q q-" + units.kind }, make("span", { class: "spoken" }), ...said));
  }

  /** A number that the text of a part begins with goes before its name. */
  function numbered(answer) {
    const number = answer.family === "part" ? answer.id.replace(/^part:/, "") : "";
    const text = answer.text || "";
    return number && text.startsWith(number) ? [number, text.slice(number.length).trim()] : ["", text];
  }

  function name(answer, number, stems) {
    const content = [line("tag-family", familyWord(answer.family)), " "];
    if (number) content.push(make("span", { class: "part-number" }, ...marked(number, stems)), " ");
    content.push(make("b", {}, ...marked(answer.title, stems)));
    return line("tag-name", ...content);
  }

  function machine(answer) {
    return answer.machines ? [line("tag-for", answer.machines)] : [];
  }

  /** The lines of an answer. One that is no longer in force says so, and its value never stands as one to work to. */
  function lines(answer, stems) {
    const isValue = VALUES.includes(answer.family) && answer.current;
    const [number, text] = numbered(answer);
    const [first, ...rest] = isValue ? text.split("; ") : ["", text];
    const facts = rest.join("; ");
    const content = isValue ? [value(answer, first, stems)] : [];
    if (!answer.current) content.push(line("tag-state state-word", "no longer in force"));
    content.push(...machine(answer), name(answer, number, stems));
    if (facts) content.push(line("tag-text", ...marked(facts, stems)));
    return content;
  }

  /** A safety message under its signal word, as on the sheets. */
  function panel(answer, stems) {
    const signal = SIGNALS.includes(answer.signal) ? answer.signal : "";
    const alert = document.querySelector(".find-alert .alert");
    const word = line("signal", signal ? signal.toUpperCase() : "SAFETY");
    if (alert && signal !== "notice") word.prepend(alert.cloneNode(true));
    const head = line("panel-head", word, " ", make("b", {}, ...marked(answer.title, stems)));
    return [head, ...machine(answer), line("tag-text", ...marked(answer.text, stems))];
  }

  /** A correction stands in the box in which pages tell their readers to stop. */
  function correction(answer, stems) {
    const head = line("stop-word", familyWord("bulletin"));
    return [head, ...machine(answer), line("tag-name", make("b", {}, ...marked(answer.title, stems))), line("tag-text", ...marked(answer.text, stems))];
  }

  /** The tag of an answer; `id` is its own in the page, `stems` what the question asked for. */
  function tag(answer, id, stems) {
    const link = make("a", { class: "tag", id, role: "option", "aria-selected": "false", href: own(answer.address) });
    if (answer.family === "notice") {
      link.classList.add("panel", "panel-" + (SIGNALS.includes(answer.signal) ? answer.signal : "safety"));
      link.append(...panel(answer, stems));
    } else if (answer.family === "bulletin") {
      link.classList.add("tag-stop");
      link.append(...correction(answer, stems));
    } else {
      link.append(...lines(answer, stems));
    }
    return link;
  }

  Fettlebook.findTags = { tag };
})(window);
