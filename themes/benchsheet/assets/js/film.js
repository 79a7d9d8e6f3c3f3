// A film beside its words: touching a time starts the film there, the row being spoken is marked and kept in sight, the
// words are shown as captions, and addresses such as #t=4:50 lead to their row. Without a recording only the last is left.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { place } = Fettlebook;
  const NEAR = 0.3; // seconds: nearer than this, the film is where it should be

  let film = null;
  let rows = [];
  let until = null; // where a stretch ends that was asked for, in seconds

  // ---- moments ----

  /** Seconds of "290", "4:50", "1:04:50" or "290.5"; null for anything else. */
  function seconds(text) {
    if (!/^(?:\d+:)?(?:\d+:)?\d+(?:\.\d+)?$/.test(text)) return null;
    return text.split(":").reduce((sum, part) => sum * 60 + Number(part), 0);
  }

  /** {from, to} of an address's fragment, W3C Media Fragments (t=290, t=4:50, t=290,300, t=npt:…) or our own t-290. */
  function moment(hash) {
    const own = /^#t-(\d+)$/.exec(hash);
    if (own) return { from: Number(own[1]), to: null };
    const given = new URLSearchParams(hash.slice(1)).get("t");
    if (given === null) return null;
    const [from, to] = given.replace(/^npt:/, "").split(",");
    const found = { from: from ? seconds(from) : 0, to: to ? seconds(to) : null };
    if (found.from === null || (found.to !== null && found.to <= found.from)) return null;
    return found;
  }

  /** The row in which a moment lies, as an index. */
  function rowAt(at) {
    let found = 0;
    rows.forEach((row, index) => { if (Number(row.dataset.at) <= at) found = index; });
    return found;
  }

  // ---- the row being spoken ----

  function isSeen(element) {
    const box = element.getBoundingClientRect();
    const top = film ? film.getBoundingClientRect().bottom : 0;
    return box.bottom > top && box.top < window.innerHeight;
  }

  /** Marks a row. It comes into sight if the one before was seen: who has scrolled away is left alone. */
  function mark(row, follow) {
    const last = rows.find((other) => other.hasAttribute("aria-current"));
    if (last === row) return;
    const goes = follow && (!last || isSeen(last));
    if (last) last.removeAttribute("aria-current");
    row.setAttribute("aria-current", "true");
    if (goes) row.scrollIntoView({ block: "nearest" });
  }

  function spoken(at) {
    for (const words of document.querySelectorAll(".film-said span")) {
      words.classList.toggle("is-spoken", at >= words.dataset.from / 1000 && at < words.dataset.to / 1000);
    }
  }

  function follow() {
    const at = film.currentTime;
    if (until !== null && at >= until) {
      until = null;
      film.pause();
    }
    mark(rows[rowAt(at)], !film.paused);
    spoken(at);
  }

  // ---- going to a moment ----

  function seek(to) {
    if (!film) return;
    until = to.to;
    film.preload = "metadata";
    if (Math.abs(film.currentTime - to.from) > NEAR) film.currentTime = to.from;
  }

  function play() {
    film.play().catch(() => { /* the browser says on the picture why it cannot, or waits for a touch */ });
  }

  /** Goes where the address says; whether it says anywhere. */
  function arrive() {
    const to = moment("#" + place.fragment(window.location.hash));
    if (!to || !rows.length) return false;
    const row = rows[rowAt(to.from)];
    mark(row, false);
    if (!document.getElementById(window.location.hash.slice(1))) row.scrollIntoView({ block: "start" });
    seek(to);
    return true;
  }

  /** Whether the reader came by a link, not by "back" or by loading the page again. */
  function cameByLink() {
    const [how] = window.performance.getEntriesByType("navigation");
    return !how || how.type === "navigate";
  }

  function touch(event) {
    const link = event.target.closest ? event.target.closest("a[href^='" + place.hash("t") + "']") : null;
    const to = link && moment("#" + place.fragment(link.hash));
    if (!to || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
    seek(to);
    play();
  }

  // ---- captions ----

  /** The words as captions, with what puts them right behind those that are wrong. */
  function captions() {
    const track = film.addTextTrack("captions", film.dataset.captions, document.documentElement.lang || "");
    for (const words of document.querySelectorAll(".film-said span")) {
      const right = words.matches(".film-wrong") ? words.closest(".film-row").querySelectorAll(".film-put-right") : [];
      const lines = [words.textContent, ...Array.from(right, (line) => "[" + line.textContent.replace(/\s+/g, " ").trim() + "]")];
      const [from, to] = [words.dataset.from / 1000, words.dataset.to / 1000];
      if (to > from) track.addCue(new window.VTTCue(from, to, lines.join("\n").replace(/[&<]/g, (sign) => sign === "&" ? "&amp;" : "&lt;")));
    }
    track.mode = "showing";
  }

  function start() {
    rows = Array.from(document.querySelectorAll(".film-row"));
    film = document.querySelector("video.film-picture");
    if (film && rows.length) {
      captions();
      film.addEventListener("timeupdate", follow);
      film.addEventListener("seeked", follow);
      document.addEventListener("click", touch);
    }
    window.addEventListener("hashchange", arrive);
    // Who touched a moment asked for the film. A browser lets it play if the touch was on a page of the same place, and
    // does not if somebody only opened an address.
    if (arrive() && film && cameByLink()) play();
  }

  Fettlebook.components.push({ name: "film", start });
})(window);
