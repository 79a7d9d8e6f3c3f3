// A copy of the library that is past its check-by date says so, on the screen and at the foot of the paper.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, bar, underTitle } = Fettlebook.sheet;

  /** Days are compared as text (2026-11-02), so the time of day and the zone do not matter. */
  function today() {
    const now = new Date();
    const two = (number) => String(number).padStart(2, "0");
    return now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate());
  }

  /** Whole months from one day to another. */
  function months(from, to) {
    const [fromYear, fromMonth, fromDay] = from.split("-").map(Number);
    const [toYear, toMonth, toDay] = to.split("-").map(Number);
    return (toYear - fromYear) * 12 + toMonth - fromMonth - (toDay < fromDay ? 1 : 0);
  }

  function start() {
    const { date, checkBy } = document.documentElement.dataset;
    const day = /^\d{4}-\d\d-\d\d$/;
    if (!day.test(date || "") || !day.test(checkBy || "") || today() <= checkBy) return;
    if (document.querySelector(".bar-age")) return;
    const age = months(date, today());
    const says = "This copy is " + age + (age === 1 ? " month" : " months") + " old; figures may have changed. It was to be checked by " + checkBy + ".";
    underTitle(bar("age", says));
    const late = "Printed " + today() + ": this copy was " + age + (age === 1 ? " month" : " months") + " old; figures may have changed.";
    document.documentElement.dataset.paperLate = late;
    const foot = document.querySelector(".print-foot");
    if (foot) foot.append(" · ", make("b", {}, late));
  }

  Fettlebook.components.push({ name: "age", start });
})(window);
