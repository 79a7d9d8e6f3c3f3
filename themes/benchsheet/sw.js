// Keeps one edition of the library, whole, and serves every page of it from there. EDITION, which stands before this, says
// of which library and version it is, its mark and date, and the hash of the list of its files. Nothing is kept or passed on that does not
// have the hash in the list, so that a server that changes while it is read can make no mixture. DEVELOPERS.md says why.
(function (self) {
  "use strict";
  const { caches, clients, crypto, location } = self;
  const root = new URL("./", self.registration.scope);
  // Libraries may share a server: each has its own place there, and touches only caches that carry it.
  const prefix = "fettlebook " + EDITION.library + " " + root.pathname + " ";
  const own = prefix + EDITION.version;
  const CHOICE = prefix + "choice";
  const LIST = "keep.json";
  const MISSING = "keep.html?missing";
  const AT_ONCE = 6; // files fetched side by side
  const OURS = /^(?:[^/]*|(?:assets|media)\/.*)$/; // where the library's files lie; another library may lie deeper

  const addressOf = (path) => new URL(path.split("/").map(encodeURIComponent).join("/"), root).href;

  // ---- files ----

  async function digest(bytes) {
    const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  /** A response of exactly these bytes, if they have the hash; else null. */
  async function proved(response, hash) {
    const bytes = await response.arrayBuffer();
    if (await digest(bytes) !== hash) return null;
    const type = response.headers.get("content-type") || "application/octet-stream";
    return new Response(bytes, { headers: { "content-type": type, "content-length": String(bytes.byteLength) } });
  }

  /** A file as the server has it now. */
  async function fetched(path, hash) {
    const response = await fetch(addressOf(path), { cache: "no-cache" });
    if (!response.ok) throw new Error("the server answers " + response.status + " for " + path);
    const whole = await proved(response, hash);
    if (!whole) throw new Error(path + " on the server is of another edition");
    return whole;
  }

  /** Names of this library's caches, its choice left out. */
  async function editions() {
    const names = await caches.keys();
    return names.filter((name) => name.startsWith(prefix) && name !== CHOICE);
  }

  /** A file as any edition on this phone has it, if it is the same. */
  async function reused(path, hash) {
    for (const cacheName of await editions()) {
      const found = await caches.match(addressOf(path), { cacheName });
      const whole = found && await proved(found, hash);
      if (whole) return whole;
    }
    return null;
  }

  /** The list of this edition, out of its cache; null if nothing is kept. */
  async function list() {
    const found = await caches.match(addressOf(LIST), { cacheName: own });
    return found ? found.json() : null;
  }

  // ---- what is kept ----

  /** {pictures, films}: what the reader chose, or everything but films. */
  async function chosen() {
    const found = await caches.match(addressOf(LIST), { cacheName: CHOICE });
    return found ? found.json() : { pictures: true, films: [] };
  }

  async function remember(choice) {
    const cache = await caches.open(CHOICE);
    await cache.put(addressOf(LIST), new Response(JSON.stringify(choice), { headers: { "content-type": "application/json" } }));
  }

  /** The entries of the list, [path, hash, bytes, kind], that a choice keeps. */
  function wantedBy(choice, files) {
    const kinds = { words: () => true, picture: () => choice.pictures, film: (path) => choice.films.includes(path) };
    return files.filter(([path, , , kind]) => kinds[kind] && kinds[kind](path));
  }

  async function tell(message) {
    const all = await clients.matchAll({ includeUncontrolled: true, type: "window" });
    for (const client of all) if (client.url.startsWith(root.href)) client.postMessage(message);
  }

  /** Puts files into this edition's cache: such as are on the phone already from there, the rest from the server if asked. */
  async function gather(files, from) {
    const cache = await caches.open(own);
    const total = files.reduce((sum, file) => sum + file[2], 0);
    const left = files.slice();
    let done = 0;
    let failed = false;
    async function next() {
      for (let file = left.shift(); file && !failed; file = left.shift()) {
        const [path, hash, bytes] = file;
        if (from === "phone" && await cache.match(addressOf(path))) continue;
        const whole = await reused(path, hash) || (from === "server" ? await fetched(path, hash) : null);
        if (whole) await cache.put(addressOf(path), whole);
        done += bytes;
        if (from === "server") tell({ progress: [done, total] });
      }
    }
    const turns = Array.from({ length: AT_ONCE }, () => next().catch((error) => { failed = true; throw error; }));
    await Promise.all(turns);
  }

  /** Everything that is chosen, or nothing that is used: a cache that was not filled serves no page, and saves the next try. */
  async function install() {
    try {
      const found = await fetched(LIST, EDITION.list);
      const { files } = await found.clone().json();
      await gather(wantedBy(await chosen(), files), "server");
      const cache = await caches.open(own);
      await cache.put(addressOf(LIST), found);
    } catch (error) {
      await tell({ failed: String(error && error.message || error) });
      throw error;
    }
  }

  /** The edition before goes; what was chosen while this one waited is taken over first, where it is the same. */
  async function activate() {
    const known = await list();
    if (known) await gather(wantedBy(await chosen(), known.files), "phone");
    for (const name of await editions()) if (name !== own) await caches.delete(name);
    await clients.claim();
  }

  async function choose(choice) {
    const known = await list();
    if (!known) throw new Error("nothing is kept");
    const wanted = wantedBy(choice, known.files);
    await gather(wanted, "server");
    await remember(choice);
    const cache = await caches.open(own);
    const paths = new Set(wanted.map(([path]) => path));
    for (const [path] of known.files) if (!paths.has(path)) await cache.delete(addressOf(path));
  }

  async function state() {
    const known = await list();
    if (!known) return null;
    const cache = await caches.open(own);
    const addresses = new Set((await cache.keys()).map((request) => request.url));
    const kept = known.files.filter(([path]) => addresses.has(addressOf(path)));
    const { title, date, files } = known;
    return { title, date, files, kept: kept.map(([path]) => path), choice: await chosen() };
  }

  /** {mark, date} of this edition; null if nothing is kept. */
  async function edition() {
    return await caches.has(own) ? { mark: EDITION.mark, date: EDITION.date } : null;
  }

  // ---- serving ----

  /** The path of a file of this library that is asked for, or null. */
  function pathOf(request) {
    const address = new URL(request.url);
    if (request.method !== "GET" || address.origin !== location.origin || !address.pathname.startsWith(root.pathname)) return null;
    try {
      const path = decodeURIComponent(address.pathname.slice(root.pathname.length));
      return OURS.test(path) ? path || "index.html" : null;
    } catch (unreadable) { return null; }
  }

  /** The part of a kept file that a player asks for (RFC 9110, section 14). */
  async function part(request, whole) {
    const asked = /^bytes=(\d+)-(\d*)$/.exec(request.headers.get("range") || "");
    if (!asked) return whole;
    const bytes = await whole.blob();
    const from = Number(asked[1]);
    const to = asked[2] ? Math.min(Number(asked[2]), bytes.size - 1) : bytes.size - 1;
    if (from > to) return new Response(null, { status: 416, headers: { "content-range": "bytes */" + bytes.size } });
    const type = whole.headers.get("content-type");
    const headers = { "content-type": type, "content-length": String(to - from + 1), "content-range": "bytes " + from + "-" + to + "/" + bytes.size };
    return new Response(bytes.slice(from, to + 1, type), { status: 206, headers });
  }

  /** Whether the server still has this edition. */
  async function isServed() {
    const response = await fetch(addressOf(LIST), { cache: "no-store" });
    return response.ok && await digest(await response.arrayBuffer()) === EDITION.list;
  }

  async function answer(request, path) {
    const found = await caches.match(addressOf(path), { cacheName: own });
    if (found) return part(request, found);
    const known = await list();
    if (!known) return fetch(request);
    const entry = known.files.find((file) => file[0] === path);
    if (!entry && request.mode === "navigate") return Response.redirect(new URL(MISSING, root).href);
    try {
      // A recording is not read whole before it plays; the server's list tells whether it is of this edition.
      if (entry && entry[3] === "film" && await isServed()) return await fetch(request);
      if (entry && entry[3] !== "film") return await fetched(path, entry[1]);
    } catch (unreached) { /* as if it were not there */ }
    return new Response("not in the library that is kept here", { status: 504, headers: { "content-type": "text/plain; charset=utf-8" } });
  }

  self.addEventListener("install", (event) => event.waitUntil(install()));
  self.addEventListener("activate", (event) => event.waitUntil(activate()));

  self.addEventListener("fetch", (event) => {
    const path = pathOf(event.request);
    if (path !== null && path !== "sw.js") event.respondWith(answer(event.request, path));
  });

  self.addEventListener("message", (event) => {
    const { ask, choice } = event.data || {};
    const tasks = { edition, state, choose: () => choose(choice), open: () => self.skipWaiting() };
    if (!Object.hasOwn(tasks, ask)) return;
    const reply = (message) => { if (event.ports[0]) event.ports[0].postMessage(message); };
    event.waitUntil(tasks[ask]().then((done) => reply({ done }), (error) => reply({ failed: String(error.message || error) })));
  });
})(self);
