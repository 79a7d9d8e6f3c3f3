// Over http: keeps the library on the phone, offers a newer one when it is whole, and sees to it that no page shows two
// editions. A worker (sw.js) does the keeping; DEVELOPERS.md tells the whole story. From a folder there is nothing to do.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { document, location, navigator } = window;
  const { bar, button, make } = Fettlebook.sheet;
  const own = document.documentElement.dataset.mark;
  const isWeb = /^https?:$/.test(location.protocol);
  const service = isWeb && navigator.serviceWorker || null;
  const worker = new URL("sw.js", location.href).href;
  const RETRIES = [10, 60, 600]; // seconds after which a keeping that failed is tried again, while the page is open
  const EARLY = 20000; // ms after its beginning in which a page may open itself anew without a word
  /** This library's worker, if it serves this page: one of a library above it leaves the page alone. */
  const controller = () => (service && service.controller && service.controller.scriptURL === worker ? service.controller : null);
  let isControlled = Boolean(controller());
  let tries = 0;

  // ---- one edition ----

  /** Something of another edition has come into this page, or would: the reader is told. */
  function mixed() {
    say("mixed", "The library has changed since this page was opened. Old and new figures must not stand side by side.", "Open it anew", () => location.reload());
  }

  /** The same of a page that is still being opened: it opens itself anew, once. */
  function anew() {
    const key = "fettlebook/anew" + location.pathname;
    try {
      const isFirst = window.sessionStorage.getItem(key) !== own;
      window.sessionStorage.setItem(key, own);
      if (isFirst && window.performance.now() < EARLY) return location.reload();
    } catch (refused) { /* then the reader is asked */ }
    return mixed();
  }

  function say(kind, text, word, task) {
    for (const old of document.querySelectorAll(".bar-library")) old.remove();
    const line = bar("library bar-" + kind, text, button(word, task));
    line.setAttribute("role", "status");
    document.querySelector("main").prepend(line);
  }

  /**
   * A page that came from the server asks, once everything of it is there, which edition the server has now: if it is
   * still its own, nothing of another can have come in between.
   */
  async function verify() {
    if (isControlled) return;
    try {
      const response = await window.fetch("assets/mark.txt", { cache: "no-store" });
      if (response.ok && (await response.text()).trim() !== own && !isControlled) anew();
    } catch (unreached) { /* nothing can be said */ }
  }

  // ---- asking the worker ----

  /** What a worker answers. */
  function ask(worker, message) {
    return new Promise((resolve, reject) => {
      const { port1, port2 } = new window.MessageChannel();
      port1.onmessage = ({ data }) => { if ("done" in data) resolve(data.done); else reject(new Error(data.failed)); };
      worker.postMessage(message, [port2]);
    });
  }

  /** Whether what is kept is of this page's edition. */
  async function compare() {
    const found = await ask(controller(), { ask: "edition" });
    if (found && found.mark !== own) mixed();
  }

  function changed() {
    if (isControlled) return location.reload();
    isControlled = Boolean(controller());
    if (!isControlled) return;
    compare().catch(() => { /* nothing is kept */ });
  }

  // ---- a newer library ----

  async function offer(newer) {
    const found = await ask(newer, { ask: "edition" });
    if (!found || newer.state !== "installed" || !controller()) return;
    const day = new Date(found.date + "T12:00").toLocaleDateString(document.documentElement.lang || undefined, { day: "numeric", month: "long", year: "numeric" });
    say("newer", "A newer library is ready, of " + day + ". Every open page of this one changes with it.", "Open it", () => { ask(newer, { ask: "open" }); });
  }

  function follow(newer) {
    if (!newer) return;
    let isWhole = newer.state !== "installing";
    if (newer.state === "installed") offer(newer);
    newer.addEventListener("statechange", () => {
      if (newer.state === "installed") offer(newer);
      if (newer.state === "redundant" && !isWhole) later();
      isWhole = isWhole || newer.state === "installed";
    });
  }

  /** Keeping failed: the signal went, or the server changed while it was read. */
  function later() {
    if (tries < RETRIES.length) window.setTimeout(() => { again().catch(() => { /* at the next visit */ }); }, 1000 * RETRIES[tries++]);
  }

  async function again() {
    const registration = await keep();
    if (registration.active) await registration.update();
  }

  /** Whether the library is to be kept without having been asked for. */
  function isWished() {
    const kept = Fettlebook.store.read("keep", "");
    return kept === "yes" || (kept !== "no" && !(navigator.connection && navigator.connection.saveData));
  }

  async function keep() {
    const registration = await service.register(Fettlebook.scriptAddress("sw.js"), { updateViaCache: "none" });
    registration.onupdatefound = () => follow(registration.installing);
    follow(registration.waiting);
    follow(registration.installing);
    return registration;
  }

  function loaded() {
    verify();
    if (!service) return;
    service.addEventListener("controllerchange", changed);
    if (isControlled) compare().catch(() => { /* nothing is kept */ });
    if (isWished()) keep().catch(() => { /* refused, or no signal: at the next visit */ });
  }

  function start() {
    Fettlebook.onMixture = mixed;
    if (Fettlebook.isMixed()) anew();
    if (!isWeb) return;
    // Here and not in the page, because a browser that opens it from a folder complains that it cannot read the file.
    document.head.append(make("link", { rel: "manifest", href: "manifest.webmanifest" }));
    if (document.readyState === "complete") loaded(); else window.addEventListener("load", loaded);
  }

  /** Back out of the browser's memory, a page may be of an edition that is gone. */
  function refresh() {
    if (controller()) compare().catch(() => { /* nothing is kept */ });
  }

  /** This library's registration, if it has one; the browser may name one of a library above it. */
  async function registered() {
    const found = await service.getRegistration();
    return found && found.scope === new URL("./", worker).href ? found : null;
  }

  Fettlebook.keep = { ask, isWeb, keep, registered, service };
  Fettlebook.components.push({ name: "keep", start, refresh });
})(window);
