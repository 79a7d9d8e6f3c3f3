// The page on which a reader chooses what is kept: what is there now, sizes, films, holding on to it, removing it.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { document, location, navigator } = window;
  const { button } = Fettlebook.sheet;
  const { ask, isWeb, keep, registered, service } = Fettlebook.keep;
  const one = (selector) => document.querySelector(selector);
  const LIST = "keep.json";
  let files = []; // of the library that is kept, or else of the one on the server

  // ---- words ----

  /** "3.1 MB"; below a tenth of one "84 kB". Powers of ten, as phones count. */
  function size(bytes) {
    return bytes < 1e5 ? Math.ceil(bytes / 1e3) + "\u00A0kB" : (Math.ceil(bytes / 1e5) / 10).toFixed(1) + "\u00A0MB";
  }

  const sum = (list) => list.reduce((total, file) => total + file[2], 0);
  const of = (...kinds) => files.filter((file) => kinds.includes(file[3]));

  function say(text) {
    one(".keep-says").textContent = text;
  }

  /** Says what is kept, or why nothing can be. */
  function tell(text) {
    const line = one(".keep-now");
    line.hidden = false;
    line.textContent = text;
  }

  function day(date) {
    return new Date(date + "T12:00").toLocaleDateString(document.documentElement.lang || undefined, { day: "numeric", month: "long", year: "numeric" });
  }

  // ---- what is kept ----

    async function state() {
    const registration = await registered();
    return registration && registration.active ? ask(registration.active, { ask: "state" }) : null;
  }

  function showKept(found) {
    const kept = found.files.filter(([path]) => found.kept.includes(path));
    const count = (kind) => kept.filter((file) => file[3] === kind).length;
    const films = count("film");
    const lacks = found.choice.pictures ? "" : ", without pictures";
    const more = films ? ", with " + films + (films === 1 ? " film" : " films") : "";
    tell("Kept here: " + found.title + " of " + day(found.date) + lacks + more + ", " + size(sum(kept)) + ".");
  }

  async function showStore() {
    const line = one(".keep-store");
    const [words, key] = line.children;
    if (!navigator.storage || !navigator.storage.persisted) return;
    const held = await navigator.storage.persisted();
    line.hidden = false;
    key.hidden = held || !navigator.storage.persist;
    words.textContent = held ? "It is held on to even when space is short." : "When space is short, the browser may clear it.";
  }

  function showSizes(choice) {
    const sizes = { whole: sum(of("words", "picture")), plain: sum(of("words")) };
    for (const small of document.querySelectorAll("[data-size]")) small.textContent = size(sizes[small.dataset.size]);
    for (const small of document.querySelectorAll("[data-film]")) {
      small.textContent = size(sum(files.filter(([path]) => path === small.dataset.film)));
    }
    for (const input of document.querySelectorAll("[name='pictures']")) input.checked = (input.value !== "") === choice.pictures;
    for (const input of document.querySelectorAll("[name='film']")) input.checked = choice.films.includes(input.value);
  }

  async function show() {
    const found = await state();
    const own = found || await (await window.fetch(LIST, { cache: "no-cache" })).json();
    files = own.files;
    showSizes(found ? found.choice : { pictures: true, films: [] });
    one(".keep-choose").hidden = false;
    one(".keep-remove").hidden = !found;
    if (found) showKept(found); else tell("Nothing is kept here yet.");
    await showStore();
  }

  // ---- choosing ----

  function choice() {
    const films = Array.from(document.querySelectorAll("[name='film']:checked"), (input) => input.value);
    return { pictures: one("[name='pictures']:checked").value !== "", films };
  }

  /** The worker that keeps, once there is one: a first keeping takes its time. */
  function active(registration) {
    return new Promise((resolve, reject) => {
      const own = registration.active || registration.waiting || registration.installing;
      if (!own) return reject(new Error("the browser keeps nothing"));
      const look = () => {
        if (own.state === "activated") resolve(own);
        if (own.state === "redundant") reject(new Error("it could not be fetched as a whole"));
      };
      own.addEventListener("statechange", look);
      return look();
    });
  }

  async function chosen(event) {
    event.preventDefault();
    say("Fetching …");
    try {
      Fettlebook.store.write("keep", "yes");
      await ask(await active(await keep()), { ask: "choose", choice: choice() });
      await show();
      say("Kept. It can be opened without a signal now.");
    } catch (failure) {
      say("It could not be kept: " + failure.message + ". What was kept before is still there.");
    }
  }

  /** Removes this library's worker and caches, and no other's. */
  async function remove() {
    Fettlebook.store.write("keep", "no");
    const registration = await registered();
    const root = new URL("./", location.href).pathname;
    const prefix = "fettlebook " + (document.documentElement.dataset.library || "library") + " " + root + " ";
    if (registration) await registration.unregister();
    for (const name of await window.caches.keys()) if (name.startsWith(prefix)) await window.caches.delete(name);
    await show();
    say("Removed.");
  }

  /** The key becomes two while it asks. */
  function asksToRemove() {
    const key = one(".keep-remove");
    const yes = button("Yes, remove it", () => { back(); remove().catch((failure) => say(failure.message)); });
    const no = button("Leave it", () => back());
    function back() {
      yes.remove();
      no.remove();
      key.hidden = false;
    }
    key.hidden = true;
    key.after(yes, no);
    no.focus();
  }

  /** Why nothing can be kept here, where that is so. */
  function refusal() {
    if (!isWeb) return "This copy of the library is on this device already: it was opened from a folder. Nothing needs to be kept.";
    if (!window.isSecureContext) return "This address begins with http, and browsers keep pages of https alone. Ask the workshop for its https address.";
    return service ? "" : "This browser cannot keep pages. In a private window that is usual; another browser, or an ordinary window, can.";
  }

  function start() {
    if (!one("[data-component='keep']")) return;
    if (new URLSearchParams(location.search).has("missing")) one(".keep-missing").hidden = false;
    const why = refusal();
    if (why) return tell(why);
    one(".keep-form").addEventListener("submit", chosen);
    one(".keep-remove").addEventListener("click", asksToRemove);
    one(".keep-store button").addEventListener("click", () => { navigator.storage.persist().then(showStore); });
    service.addEventListener("message", ({ data }) => {
      if (data && data.progress) say("Fetching " + size(data.progress[0]) + " of " + size(data.progress[1]) + " …");
      if (data && data.failed) say("It could not be kept: " + data.failed + ". It will be tried again.");
    });
    service.startMessages();
    service.addEventListener("controllerchange", () => { show().catch(() => { /* it opens anew */ }); });
    return show().catch(() => tell("What is kept could not be found out. Open this page again with a connection."));
  }

  Fettlebook.components.push({ name: "keep-choice", start });
})(window);
