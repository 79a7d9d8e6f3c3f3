// The library in one file: puts the page that the address names into the document, out of the text in which browsers with
// scripts keep what is for those without, and sets out what the page works with. Going to another page reads the file
// again: so everything else may take it, as in the site, that a document holds one page.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  const { document, history, location } = window;
  const root = document.documentElement;
  const store = document.getElementById("pages");
  const pages = store.textContent;
  const FIRST = "index";
  const policy = window.trustedTypes
    ? window.trustedTypes.createPolicy("fettlebook-pages", { createHTML: (text) => text })
    : { createHTML: (text) => text };

  /** The page that a fragment names: "#job-fit-coupling/step-3" is in job-fit-coupling. */
  const named = (hash) => hash.slice(1).split("/")[0] || FIRST;

  /** The section of a page, out of this file's own text; null if there is no such page. */
  function section(name) {
    const from = pages.indexOf("<!--page " + name + "-->");
    if (from < 0) return null;
    const to = pages.indexOf("<!--page ", from + 1);
    const text = to < 0 ? pages.slice(from) : pages.slice(from, to);
    return new window.DOMParser().parseFromString(policy.createHTML(text), "text/html").querySelector(".page");
  }

  /** Everything that only scripts need, out of the packed text: data by its address in the site, parts by their keys. */
  async function unpack() {
    const bytes = Uint8Array.from(window.atob(document.getElementById("packed").textContent), (sign) => sign.charCodeAt(0));
    const stream = new window.Blob([bytes]).stream().pipeThrough(new window.DecompressionStream("gzip"));
    return JSON.parse(await new window.Response(stream).text());
  }

  const name = section(named(location.hash)) ? named(location.hash) : FIRST;

  function show(page) {
    const { title, page: id, issue, machines, foot } = page.dataset;
    const main = document.createElement("main");
    main.id = "sheet";
    main.className = page.dataset.class;
    main.append(...Array.from(page.childNodes, (child) => document.importNode(child, true)));
    store.replaceWith(main);
    if (title) document.title = title;
    if (id) root.dataset.page = id; else delete root.dataset.page;
    if (issue) root.dataset.issue = issue; else delete root.dataset.issue;
    root.dataset.prefix = name + "/";
    for (const line of document.querySelectorAll("[data-machine-name]")) if (machines) line.textContent = machines;
    const mark = document.querySelector(".print-foot b");
    if (mark && foot) mark.textContent = foot + " ";
    for (const key of document.querySelectorAll(".thumb a")) {
      if (key.getAttribute("href") === "#" + name) key.setAttribute("aria-current", "page"); else key.removeAttribute("aria-current");
    }
  }

  /** Sets out what the scripts of the page look for. */
  function prepare(held, script) {
    Fettlebook.inside = (address) => held[address];
    Fettlebook.library = held["assets/library.js"];
    Fettlebook.units = held["assets/calc/units.js"];
    if (script) Fettlebook.calculator = held[script];
    for (const mark of document.querySelectorAll("[data-part]")) {
      const part = new window.DOMParser().parseFromString(policy.createHTML(held[mark.dataset.part]), "text/html");
      mark.replaceWith(...Array.from(part.body.childNodes, (child) => document.importNode(child, true)));
    }
    // After the scripts, which wait for the same.
    window.setTimeout(arrive);
  }

  /** The place in the page that the address names was not there yet when the browser looked for it. */
  function arrive() {
    if (document.getElementById(location.hash.slice(1))) location.replace(location.hash);
  }

  function open(address) {
    // A question in the address belongs to the page that is left. Some viewers refuse to have addresses changed.
    try { history.pushState(null, "", location.pathname + address); } catch (refused) { location.hash = address; }
    location.reload();
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest ? event.target.closest("a[href^='#']") : null;
    if (!link || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const address = link.getAttribute("href");
    if (named(address) === name || pages.indexOf("<!--page " + named(address) + "-->") < 0) return;
    event.preventDefault();
    open(address);
  });

  window.addEventListener("popstate", () => {
    if (named(location.hash) !== name && section(named(location.hash))) location.reload();
  });

  // A browser too old to unpack shows the pages as it would without scripts.
  if (window.DecompressionStream) root.classList.add("scripted");
  const page = section(name);
  show(page);
  Fettlebook.unpacked = unpack().then((held) => prepare(held, page.dataset.script));
})(window);
