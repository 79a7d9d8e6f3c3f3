// Remembering on the reader's own phone; nothing is sent anywhere. Keys carry the library's id, because pages opened
// from files share one store. Where the phone refuses, values last until the page is left, and nothing else changes.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  if (Fettlebook.store) return;
  const root = window.document.documentElement;
  const keys = "fettlebook/" + (root.dataset.library || "library") + "/";
  const forgetful = new Map();
  let isRefused = false;

  function disk() {
    try { return window.localStorage; } catch (refused) { return null; }
  }

  /** The remembered value, or `otherwise` when there is none or it cannot be read. */
  function read(key, otherwise) {
    try {
      const text = forgetful.has(key) ? forgetful.get(key) : disk().getItem(keys + key);
      return text === null ? otherwise : JSON.parse(text);
    } catch (unreadable) { return otherwise; }
  }

  /** Remembers `value`, which is plain data. */
  function write(key, value) {
    const text = JSON.stringify(value);
    try {
      disk().setItem(keys + key, text);
      forgetful.delete(key);
    } catch (refused) {
      forgetful.set(key, text);
      if (isRefused) return;
      isRefused = true;
      window.document.dispatchEvent(new CustomEvent("fettlebook:refused"));
    }
  }

  /** Whether the phone refused to keep something since the page was opened. */
  const refuses = () => isRefused;

  function forget(key) {
    forgetful.delete(key);
    try { disk().removeItem(keys + key); } catch (refused) { /* none kept */ }
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

  /** The chosen machine, {variant id: choice id}. A copy of the library for one kind of machine holds to that. */
  function machine() {
    const [variant, choice] = (root.dataset.machine || "").split(":");
    return Object.assign(readTexts("machine"), variant ? { [variant]: choice } : {});
  }

  /** A key of its own for each machine: what was done on one launch says nothing about another. */
  function forMachine(key) {
    const choices = machine();
    const chosen = Object.keys(choices).sort().map((variant) => choices[variant]);
    return key + "/" + (chosen.join("+") || "any");
  }

  /** The id of the record that is open on a page for this machine, or "". */
  function openRecord(page) {
    const id = read(forMachine("open/" + page), "");
    return typeof id === "string" ? id : "";
  }

  /** The key of what is ticked or typed on a page: that of its open record, or else of the sheet by itself. */
  function ofSheet(page, kind, otherwise) {
    const open = openRecord(page);
    return open ? "record/" + open + "/" + kind : forMachine(otherwise);
  }

  // ---- places ----

  /** In the library's one file the ids of a page begin with its name and a slash; in the site with nothing. */
  const prefix = () => root.dataset.prefix || "";
  const inFile = (address) => "#" + address.replace(/\.html(#|$)/, (end, sign) => (sign ? "/" : ""));

  Fettlebook.place = {
    /** The element of this page with an id. */
    element: (id) => window.document.getElementById(prefix() + id),
    /** What an address's fragment says within this page: "step-3" of "#step-3". */
    fragment: (hash) => (hash.slice(1).startsWith(prefix()) ? hash.slice(1 + prefix().length) : ""),
    /** The fragment of an address for a place within this page. */
    hash: (place) => "#" + (place ? prefix() + place : prefix().slice(0, -1)),
    /** Where a page of the site, "part-dc-203.html#figures", is to be found. */
    address: (address) => (prefix() ? inFile(address) : address),
    /** Whether this is that page of the site. */
    isAt: (address) => (prefix() ? prefix() === address.replace(/\.html$/, "/") : new URL(address, window.location.href).pathname === window.location.pathname),
  };

  // ---- one edition ----

  const alien = [];
  let index = "";

  /**
   * Called at the end of every script with the mark of its edition, and by files of the index with that of the index: a page
   * takes nothing from another edition's, and answers from one index only.
   */
  function made(mark, ofIndex) {
    const isOther = Boolean(ofIndex && index && ofIndex !== index);
    index = index || ofIndex || "";
    if (mark === root.dataset.mark && !isOther) return;
    alien.push(mark);
    if (Fettlebook.onMixture) Fettlebook.onMixture();
  }

  /** Whether a script of another edition has come into this page. */
  const isMixed = () => alien.length > 0;

  /** The addresses of scripts must be vouched for: only those of the library's own files are. */
  const policy = window.trustedTypes
    ? window.trustedTypes.createPolicy("fettlebook", { createScriptURL: (address) => address })
    : { createScriptURL: (address) => address };

  Fettlebook.made = made;
  Fettlebook.isMixed = isMixed;
  Fettlebook.scriptAddress = (address) => policy.createScriptURL(address);
  Fettlebook.store = { forMachine, machine, read, readTexts, write, forget, refuses, openRecord, ofSheet };
  Fettlebook.components = [];
  root.classList.add("scripted");
})(window);
