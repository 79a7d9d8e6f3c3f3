// Keeps the screen awake while a job's sheet is open, where the browser lets a page do so. Let go when the page is out of
// sight, asked for again when it is back; a switch turns it off. Where it is refused nothing is said.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  let held = null;
  let isAsking = false;

  const isWanted = () => Fettlebook.store.read("awake", true) !== false;
  const isJob = () => Boolean(document.querySelector("main .rows, main .record-lines"));

  async function hold() {
    if (held || isAsking || !isJob() || !isWanted() || document.visibilityState !== "visible" || !window.navigator.wakeLock) return;
    isAsking = true;
    try {
      const lock = await window.navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => { if (held === lock) held = null; });
      held = lock;
    } catch (refused) { /* a low battery, or the reader's own settings */ }
    isAsking = false;
    if (held && !isWanted()) letGo();
  }

  function letGo() {
    if (held) held.release();
    held = null;
  }

  /** The switch, for the panel that the thumb bar opens. */
  function switches() {
    return Fettlebook.sheet.switchGroup({
      legend: "Screen, during a job",
      name: "awake",
      choices: [{ value: "on", text: "kept awake" }, { value: "off", text: "may go dark" }],
      chosen: isWanted() ? "on" : "off",
      onChange(value) {
        Fettlebook.store.write("awake", value === "on");
        if (isWanted()) hold(); else letGo();
      },
    });
  }

  function start() {
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") hold(); else letGo(); });
    hold();
  }

  Fettlebook.wake = { switches };
  Fettlebook.components.push({ name: "wake", start, refresh: hold });
})(window);
