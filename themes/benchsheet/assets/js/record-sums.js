// Worked calculations of a page with what was measured on it: each given value that has a box takes what was typed there,
// each that is the result of an earlier calculation takes its new result, and the calculator runs again.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  if (!Fettlebook.reckonSheetOf || Fettlebook.recordSums) return;
  const { make } = Fettlebook.sheet;
  const sheets = new Map(); // by calculator: {data, sheet}

  /** The calculator of a worked calculation, and its inputs as they were given: both stand in the link that tries it. */
  function given(worked) {
    const link = worked.querySelector(".try a");
    const [, calculator, inputs = ""] = /^calc-([^#]+)\.html(?:#(.*))?$/.exec(link ? link.getAttribute("href") : "") || [];
    return { calculator, inputs: new Map(new URLSearchParams(inputs.replace(/\+/g, "%2B"))) };
  }

  /** Fetches a calculator; only one can be fetched at a time, because each script sets the same name. */
  let last = Promise.resolve();
  function sheetOf(calculator) {
    last = last.catch(() => {}).then(async () => {
      if (!sheets.has(calculator)) {
        await Fettlebook.boxes.load("assets/calc/" + calculator + ".js");
        const data = Fettlebook.calculator;
        sheets.set(calculator, { data, sheet: Fettlebook.reckonSheetOf(data) });
      }
      return sheets.get(calculator);
    });
    return last;
  }

  /** The inputs of a calculation with what was measured, or null where nothing was. */
  function settled(worked, { data, sheet }, inputs, verdicts, earlier) {
    const found = {};
    let isMeasured = false;
    for (const input of data.inputs) {
      const row = worked.querySelector("[data-input=\"" + input.id + "\"]");
      const measured = row && row.dataset.measured && verdicts.get(row.dataset.measured);
      const before = row && row.dataset.earlier && earlier.get(row.dataset.earlier);
      const value = measured && measured.value;
      const own = value ? value + " " + measured.unit + (measured.uncertainty ? " \u00B1 " + measured.uncertainty + " " + measured.unit : "") : inputs.get(input.id) || "";
      isMeasured = isMeasured || Boolean(value || before);
      const read = before || sheet.settle(input, own);
      if (read.wrong || read.missing) return { refused: input.name + ": " + (read.wrong || "not given") };
      if ("value" in read) found[input.id] = read;
    }
    return isMeasured ? { found } : null;
  }

  /** The answer that the page gives, by the name of its line. */
  function declared(worked, name) {
    for (const line of worked.querySelectorAll(".line.is-answer")) {
      const own = line.querySelector(".line-name").cloneNode(true);
      for (const marks of own.querySelectorAll(".line-marks")) marks.remove();
      if (own.textContent.trim() === name) return line.querySelector(".figure-value").textContent.replace(/\s+/g, " ").trim();
    }
    return "";
  }

  const plain = (answer) => answer.text + (answer.off && !answer.exact ? " \u00B1 " + answer.off : "");

  /** Runs one calculation; gives its lines: {name, declared, measured}. */
  function run(worked, { data, sheet }, values, earlier) {
    const found = sheet.sheet(values);
    if (found.refused) return { refused: found.refused, lines: [], checks: [] };
    data.steps.forEach((step, index) => {
      const answer = found.run.steps[index];
      if (typeof answer.value === "number") earlier.set(worked.id + "." + step.id, { value: answer.value, text: sheet.printer(found.run, values)(step.id) });
    });
    const lines = data.outputs.map((output, index) => {
      const answer = found.answers[index];
      const name = data.steps[sheet.stepAt(output.id)].name;
      return answer ? { name, declared: declared(worked, name), measured: plain(answer) } : null;
    });
    return { lines: lines.filter((line) => line && line.measured), checks: found.checks };
  }

  function show(worked, found) {
    let own = worked.querySelector(".measured-sum");
    if (!found) { if (own) own.remove(); return; }
    if (!own) {
      own = make("div", { class: "measured-sum" });
      worked.querySelector(".checks").after(own);
    }
    const rows = found.lines.map((line) => make("tr", {}, make("th", { scope: "row" }, line.name), make("td", {}, line.declared), make("td", {}, line.measured)));
    const heads = ["Answer", "On this page", "With your measurements"].map((head) => make("th", { scope: "col" }, head));
    const table = make("table", { class: "measured-sums" }, make("caption", {}, "With your measurements"), make("thead", {}, make("tr", {}, ...heads)), make("tbody", {}, ...rows));
    const checks = found.checks.map(({ signal, text }) => make("div", { class: "embedded check panel-" + signal },
      make("p", { class: "embedded-head" }, make("span", { class: "signal" }, signal.toUpperCase()), make("span", {}, text))));
    own.replaceChildren(...(found.refused ? [make("p", {}, "With your measurements: " + found.refused)] : [table, ...checks]));
  }

  let turn = 0;

  /** Works every calculation of the page again. `verdicts`: by box, with value, unit and uncertainty. Gives the lines for
   *  a record, or null where newer values came meanwhile. */
  async function refresh(verdicts) {
    turn += 1;
    const own = turn;
    const earlier = new Map();
    const sums = [];
    for (const worked of document.querySelectorAll(".worked")) {
      const bound = Array.from(worked.querySelectorAll("[data-input]"));
      const touched = bound.some(({ dataset }) => (dataset.measured && (verdicts.get(dataset.measured) || {}).value) || (dataset.earlier && earlier.has(dataset.earlier)));
      if (!touched || worked.closest("[hidden]")) { show(worked, null); continue; }
      const { calculator, inputs } = given(worked);
      const loaded = await sheetOf(calculator);
      if (own !== turn) return null;
      const values = settled(worked, loaded, inputs, verdicts, earlier);
      const found = values && (values.refused ? { refused: values.refused, lines: [], checks: [] } : run(worked, loaded, values.found, earlier));
      show(worked, found);
      const title = worked.querySelector(".worked-title").textContent.trim();
      for (const line of found ? found.lines : []) sums.push({ calculation: worked.id, title, answer: line.name, declared: line.declared, measured: line.measured });
    }
    return sums;
  }

  Fettlebook.recordSums = { refresh };
})(window);
