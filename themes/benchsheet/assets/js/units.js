// Which unit is large. Length, torque and temperature are apart, because many owners have a pound-foot wrench and a
// metric micrometer; other kinds follow the length. This only sets attributes on <html>; the style sheet does the rest.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const root = window.document.documentElement;
  const KINDS = [
    { id: "length", name: "Length", systems: [["metric", "mm"], ["imperial", "inch and thou"]] },
    { id: "torque", name: "Torque", systems: [["metric", "N·m"], ["imperial", "lbf·ft"], ["gravimetric", "kgf·m"]] },
    { id: "temperature", name: "Temperature", systems: [["metric", "°C"], ["imperial", "°F"]] },
  ];
  const first = root.dataset.units === "imperial" ? "imperial" : "metric";

  function chosen() {
    const kept = Fettlebook.store.readTexts("units");
    const systems = {};
    for (const kind of KINDS) {
      const known = kind.systems.some(([id]) => id === kept[kind.id]);
      systems[kind.id] = known ? kept[kind.id] : first;
    }
    return systems;
  }

  function apply() {
    const systems = chosen();
    for (const kind of KINDS) root.dataset[kind.id] = systems[kind.id];
    root.dataset.units = systems.length;
  }

  function switches() {
    const systems = chosen();
    return KINDS.map((kind) => Fettlebook.sheet.switchGroup({
      legend: kind.name,
      name: "units-" + kind.id,
      choices: kind.systems.map(([value, text]) => ({ value, text })),
      chosen: systems[kind.id],
      onChange(value) {
        Fettlebook.store.write("units", Object.assign(chosen(), { [kind.id]: value }));
        apply();
      },
    }));
  }

  function start() {
    const bar = window.document.querySelector(".thumb");
    if (!bar || bar.querySelector(".thumb-units")) return;
    const key = Fettlebook.sheet.make("button", { type: "button", class: "thumb-key thumb-units", "aria-haspopup": "dialog" }, "Units");
    key.addEventListener("click", () => {
      const groups = switches();
      if (Fettlebook.hand) groups.push(Fettlebook.hand.switches());
      if (Fettlebook.wake) groups.push(Fettlebook.wake.switches());
      Fettlebook.sheet.panel("Large figures in", groups);
    });
    bar.append(key);
  }

  apply();
  Fettlebook.components.push({ name: "units", start, refresh: apply });
})(window);
