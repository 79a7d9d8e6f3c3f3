// Measured boxes: what was typed is kept for this issue of the sheet, this machine and this box, as typed. It is not
// judged here.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { page, issue } = document.documentElement.dataset;
  const LONGEST = 60; // characters; more is no measurement

  function key() {
    return Fettlebook.store.forMachine("boxes/" + page + "/" + (issue || ""));
  }

  function boxes() {
    return document.querySelectorAll("input[data-box]");
  }

  function keep(box) {
    const texts = Fettlebook.store.readTexts(key());
    if (box.value.trim()) texts[box.dataset.box] = box.value;
    else delete texts[box.dataset.box];
    if (Object.keys(texts).length) Fettlebook.store.write(key(), texts); else Fettlebook.store.forget(key());
  }

  function show() {
    if (!page) return;
    const texts = Fettlebook.store.readTexts(key());
    for (const box of boxes()) box.value = Object.hasOwn(texts, box.dataset.box) ? texts[box.dataset.box] : "";
  }

  function start() {
    if (!page || !boxes().length) return;
    for (const box of boxes()) box.maxLength = LONGEST;
    document.addEventListener("input", (event) => {
      if (event.target.matches && event.target.matches("input[data-box]")) keep(event.target);
    });
    document.addEventListener("fettlebook:machine", show);
    show();
  }

  /** Empties every box of the sheet. */
  function clear() {
    Fettlebook.store.forget(key());
    show();
  }

  Fettlebook.boxes = { clear };
  Fettlebook.components.push({ name: "boxes", start, refresh: show });
})(window);
