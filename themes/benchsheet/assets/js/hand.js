// Which side the tick boxes stand on: data-hand on <html>; the style sheet moves them.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const root = window.document.documentElement;

  function apply() {
    root.dataset.hand = Fettlebook.store.read("hand", "left") === "right" ? "right" : "left";
  }

  /** The switch, for the panel that the thumb bar opens. */
  function switches() {
    return Fettlebook.sheet.switchGroup({
      legend: "Tick boxes on the",
      name: "hand",
      choices: [{ value: "left", text: "left" }, { value: "right", text: "right" }],
      chosen: root.dataset.hand,
      onChange(value) {
        Fettlebook.store.write("hand", value);
        apply();
      },
    });
  }

  apply();
  Fettlebook.hand = { switches };
  Fettlebook.components.push({ name: "hand", start() {}, refresh: apply });
})(window);
