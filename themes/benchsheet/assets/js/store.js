// Remembering on the reader's own phone; nothing is sent anywhere. Keys carry the library's id, because pages opened
// from files share one store. Where the phone refuses, values last until the page is left, and nothing else changes.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  if (Fettlebook.store) return;
  const root = window.document.documentElement;
  const prefix = "fettlebook/" + (root.dataset.library || "library") + "/";
  const forgetful = new Map();

  function disk() {
    try { return window.localStorage; } catch (refused) { return null; }
  }

  /** The remembered value, or `otherwise` when there is none or it cannot be read. */
  function read(key, otherwise) {
    try {
      const text = forgetful.has(key) ? forgetful.get(key) : disk().getItem(prefix + key);
      return text === null ? otherwise : JSON.parse(text);
    } catch (unreadable) { return otherwise; }
  }

  /** Remembers `value`, which is plain data. */
  function write(key, value) {
    const text = JSON.stringify(value);
    try {
      disk().setItem(prefix + key, text);
      forgetful.delete(key);
    } catch (refused) {
      forgetful.set(key, text);
    }
  }

  function forget(key) {
    forgetful.delete(key);
    try { disk().removeItem(prefix + key); } catch (refused) { /* none kept */ }
  }

  /** A remembered object whose values are all text; anything else that is found counts as nothing. */
  function readTexts(key) {
    const found = read(key, null);
    const texts = {};
    if (found && typeof found === "object" && !Array.isArray(found)) {
      for (const [name, text] of Object.entries(found)) if (typeof text === "string") texts[name] = text;
    }
    return texts;
  }

  /** A key of its own for each machine: what was done on one launch says nothing about another. */
  function forMachine(key) {
    const choices = readTexts("machine");
    const chosen = Object.keys(choices).sort().map((variant) => choices[variant]);
    return key + "/" + (chosen.join("+") || "any");
  }

  Fettlebook.store = { forMachine, read, readTexts, write, forget };
  Fettlebook.components = [];
  root.classList.add("scripted");
})(window);
