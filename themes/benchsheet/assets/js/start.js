// Starts every component once; one that fails never stops the rest. They look again when the page comes back out of
// the browser's memory or another page changed a choice. In a page into which a script of another edition has come, only
// what says so is started: the page then reads as it does without scripts.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;

  function each(task) {
    for (const component of Fettlebook.components) {
      if (Fettlebook.isMixed() && component.name !== "keep") continue;
      try {
        if (component[task]) component[task]();
      } catch (failure) {
        window.console.error("fettlebook: " + component.name + " could not " + task, failure);
      }
    }
  }

  if (!Fettlebook || !Fettlebook.store || !Fettlebook.sheet || Fettlebook.started) return;
  Fettlebook.started = true;
  each("start");
  window.addEventListener("pageshow", (event) => { if (event.persisted) each("refresh"); });
  window.addEventListener("storage", () => each("refresh"));
})(window);
