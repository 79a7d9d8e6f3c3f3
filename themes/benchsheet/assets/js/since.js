// What changed since a printed sheet: its address carries the sheet's issue and edition, and the page already holds all that
// may be said. This shows what fits that sheet, before all else; it makes no sentence of its own.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, hide } = Fettlebook.sheet;

  /** What the address says of the sheet; anything that is no issue or no edition's id counts as not said. */
  function sheet() {
    const asked = new URLSearchParams(window.location.search);
    const issue = asked.get("issue") || "";
    const edition = asked.get("edition") || "";
    return {
      issue: /^[1-9]\d{0,5}$/.test(issue) ? Number(issue) : 0,
      edition: /^[a-z0-9][a-z0-9-]{0,63}$/.test(edition) ? edition : "",
    };
  }

  /** The editions that this copy knows, the oldest first, each with the issue that it published of the page. */
  function known(box) {
    return (box.dataset.editions || "").split(" ").filter(Boolean).map((text) => {
      const at = text.lastIndexOf(":");
      return { id: text.slice(0, at), issue: Number(text.slice(at + 1)) };
    });
  }

  /** The edition to which the sheet is held: its own, or the newest that had published no later issue. */
  function held(editions, own) {
    const named = editions.find((edition) => edition.id === own.edition);
    if (named && named.issue) return named;
    return editions.filter((edition) => edition.issue && edition.issue <= own.issue).pop();
  }

  /** Shows the figures that changed since the sheet; returns how many. A value that no edition recorded is not told. */
  function figures(box, edition, issue) {
    let count = 0;
    for (const row of box.querySelectorAll(".change")) {
      const since = edition && row.dataset.editions.split(" ").includes(edition.id) && Number(row.dataset.last) > issue;
      hide(row, "since", !since);
      const was = row.querySelector(".change-old");
      if (was) was.hidden = Number(row.dataset.first) <= issue;
      if (since) count += 1;
    }
    return count;
  }

  /** Repeats what the later issues changed, from the list of issues further down; returns how many. */
  function lines(box, issue) {
    const list = box.querySelector(".since-lines");
    const later = Array.from(document.querySelectorAll(".issues tr[data-issue]")).filter((row) => Number(row.dataset.issue) > issue);
    list.replaceChildren(...later.map((row) => {
      const says = Array.from(row.querySelector(".issue-says").childNodes, (node) => node.cloneNode(true));
      return make("li", {}, make("b", {}, row.cells[0].textContent), " ", ...says);
    }));
    list.hidden = later.length === 0;
    return later.length;
  }

  function start() {
    const box = document.querySelector(".since");
    const own = sheet();
    if (!box || (!own.issue && !own.edition)) return;
    const editions = known(box);
    const newer = own.issue > Number(box.dataset.issue) || (own.edition && !editions.some((edition) => edition.id === own.edition));
    const edition = held(editions, own);
    const issue = own.issue || (edition ? edition.issue : 0);
    let says = "newer";
    if (newer) {
      figures(box, null, issue);
    } else {
      const changed = figures(box, edition, issue);
      const told = lines(box, issue);
      says = changed ? "changed" : told ? "lines" : "same";
    }
    for (const sentence of box.querySelectorAll("[data-says]")) sentence.hidden = sentence.dataset.says !== says;
    box.hidden = false;
  }

  Fettlebook.components.push({ name: "since", start });
})(window);
