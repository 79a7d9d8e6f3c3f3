// A calculator's live form: reads the boxes and shows answers, verdicts, worked lines and curves as the reader types; the
// address carries what was typed. The sums are reckon-sheet's; nothing is remembered and nothing is sent.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { reckon: R, calculator: data, reckonSheet, reckonCurve } = Fettlebook;
  if (!reckonSheet) return;
  const document = window.document;
  const { units, settle, sheet, seek, shown, printer, digits, clean, written, inputOf, stepAt } = reckonSheet;
  const { make, button } = Fettlebook.sheet;
  const { element, fragment, hash } = Fettlebook.place;
  const one = (selector, within) => (within || document).querySelector(selector);
  const all = (selector, within) => Array.from((within || document).querySelectorAll(selector));
  let asks = [];
  let wanted = ""; // the answer to show first, if the address names one

  // ---- The form. ----

  function ask(row) {
    const id = row.dataset.ask;
    const unit = one("select.ask-unit", row);
    if (unit) {
      const kept = document.documentElement.dataset;
      const wanted = kept[row.dataset.kind] || kept.units;
      const option = all("option", unit).find((own) => own.dataset.of === wanted);
      if (option) unit.value = option.value;
    }
    const box = one(".ask-box, .ask-choice", row);
    const says = one(".ask-says", row);
    return { id, row, box, off: one(".ask-off", row), unit, says, hint: says ? says.textContent : "", input: inputOf(id) };
  }

  /** The text of a box, its ± and the unit beside it. */
  function typed({ box, off, unit, input }) {
    const text = box.value.trim();
    const spread = off ? off.value.trim() : "";
    const standIn = unit ? unit.value : input.unit && input.unit[0];
    return { text: text && spread ? text + " \u00B1 " + spread : text, standIn };
  }

  function readAll() {
    const settled = {};
    const [missing, wrong] = [[], []];
    for (const own of asks) {
      const { text, standIn } = typed(own);
      const found = settle(own.input, text, standIn);
      if (found.missing) missing.push(own.input.name);
      if (found.wrong) wrong.push(own.input.name);
      if ("value" in found) settled[own.id] = found;
      own.box.toggleAttribute("aria-invalid", Boolean(found.wrong));
      if (!own.says) continue;
      own.says.textContent = found.wrong || (text ? "" : own.hint);
      own.says.classList.toggle("is-wrong", Boolean(found.wrong));
    }
    return { settled, missing, wrong };
  }

  function fill(address) {
    const given = new URLSearchParams(address.replace(/^#/, "").replace(/\+/g, "%2B"));
    wanted = given.get("Answer") || "";
    for (const own of asks) {
      const text = (given.get(own.id) || "").slice(0, 200);
      if (!text) continue;
      const [, number, symbol, off, again] = /^([-\u2212+\d.,]+) ?([^\d ±]\S*)(?: ± ([\d.,]+) ?(\S*))?$/.exec(text) || [];
      const fits = own.unit && all("option", own.unit).some((option) => option.value === symbol) && (!again || again === symbol);
      if (fits) own.unit.value = symbol;
      own.box.value = fits ? number : text;
      if (own.off) own.off.value = fits && off ? off : "";
      const more = own.row.closest("details");
      if (more) more.open = true;
    }
  }

  function keepAddress() {
    const given = asks.map((own) => {
      const { text, standIn } = typed(own);
      if (!text || (own.input.choices && text === own.input.default)) return "";
      const bare = /\d$/.test(text) && standIn && standIn !== "1";
      return own.id + "=" + encodeURIComponent(bare ? text.replace(/ ± /, " " + standIn + " ± ") + " " + standIn : text);
    });
    const address = given.concat(wanted && "Answer=" + encodeURIComponent(wanted)).filter(Boolean).join("&");
    window.history.replaceState(null, "", hash(address) === "#" ? window.location.pathname : hash(address));
  }

  // ---- Showing. ----

  const percent = (share) => Math.round(share * 100) + "\u00A0%";

  /** An answer in the usual unit of the other system, to as many digits. */
  function inOther({ ratio, number }, { id, unit, other }) {
    const own = (number ? number.value : ratio[2]) * unit[2] + unit[3];
    const [, to] = other.find(([below]) => below === null || Math.abs(own) < below);
    return written(digits(clean((own - to[3]) / to[2]), Math.max(3, data.steps[stepAt(id)].digits)), to);
  }

  function showAnswers(found) {
    data.outputs.forEach((output, index) => {
      const row = one("[data-answer=\"" + output.id + "\"]");
      const own = found.answers[index];
      row.hidden = !own;
      if (!own) return;
      const value = one(".given-value", row);
      value.textContent = own.text + (own.off && !own.exact ? " \u00B1 " + own.off : "");
      if (own.ratio && output.other) value.append(make("span", { class: "given-other" }, inOther(own, output)));
      const exact = own.exact ? "from " + own.exact + (own.off ? " \u00B1 " + own.off : "") : "";
      const shares = (own.shares || []).filter(([, share]) => share >= 0.005);
      const doubt = shares.length ? "k = 2: " + shares.map(([name, share]) => percent(share) + " by " + name).join(", ") : "";
      one(".given-from", row).textContent = [exact, doubt, own.worst].filter(Boolean).join("; ");
    });
    one(".live-checks").replaceChildren(...found.checks.map(({ signal, text }) => {
      const word = make("span", { class: "signal" }, signal.toUpperCase());
      return make("div", { class: "embedded check panel-" + signal }, make("p", { class: "embedded-head" }, word, make("span", {}, text)));
    }));
    if (!found.checks.length) one(".live-checks").append(make("p", { class: "check-clear" }, "\u2713 Nothing to warn of."));
  }

  function showStrip(name, value, words) {
    const strip = one(".strip-answer");
    [name, value, words].forEach((text, index) => { strip.children[index].textContent = text; });
  }

  /** The calculator's own worked lines with these numbers in them. */
  function showLines(run, settled) {
    const details = one(".live-working");
    const example = one(".example .working");
    if (!example) return;
    let lines = one(".working", details);
    if (!lines) {
      lines = example.cloneNode(true);
      for (const note of all(".figure-note, .line-doubt, .line-row", lines)) note.remove();
      details.append(lines);
    }
    const print = printer(run, settled);
    for (const value of all("[data-value]", lines)) {
      const text = print(value.dataset.value);
      value.textContent = /^[\u2212-]/.test(text) ? "(" + text + ")" : text;
    }
    for (const line of all("[data-line]", lines)) {
      const at = stepAt(line.dataset.line);
      const own = shown(run.steps[at], data.steps[at].unit, data.steps[at].digits, settled);
      line.hidden = !own;
      if (own) one(".line-result, .figure-value", line).textContent = own.text + (own.off ? " \u00B1 " + own.off : "");
    }
  }

  // ---- The other way round. ----

  function showBackwards(settled) {
    const [input, step, box, says] = ["input", "step", "value", "says"].map((name) => element("back-" + name));
    const own = inputOf(input.value);
    const at = stepAt(step.value);
    const output = data.outputs.find((found) => found.id === step.value);
    element("back-unit").textContent = output.unit[5].trim();
    if (!box.value.trim()) return says.replaceChildren();
    const wanted = R.read(box.value, units, output.unit[0]);
    if (wanted.reason || wanted.value === null) return says.replaceChildren(wanted.reason || "one value is wanted");
    const found = seek(settled, own.id, at, wanted.value);
    if (!found.length) return says.replaceChildren("No value of " + own.name + " from " + own.from[1] + " to " + own.to[1] + " gives that.");
    says.replaceChildren(...found.flatMap((value) => {
      const number = digits(clean((value - own.unit[3]) / own.unit[2]), 6);
      const use = button("use it", () => {
        const target = asks.find((candidate) => candidate.id === own.id);
        target.box.value = number.plain + (target.unit && target.unit.value !== own.unit[0] ? " " + own.unit[0] : "");
        if (target.off) target.off.value = "";
        update();
      });
      return [own.name + ": " + written(number, own.unit) + " ", use, " "];
    }));
  }

  // ---- Keeping up with the reader. ----

  const pauses = {};

  function later(name, wait, task) {
    window.clearTimeout(pauses[name]);
    pauses[name] = window.setTimeout(task, wait);
  }

  function update() {
    const { settled, missing, wrong } = readAll();
    const ready = !missing.length && !wrong.length;
    const found = ready ? sheet(settled) : null;
    const done = Boolean(found) && !found.refused;
    one(".live-results").hidden = !done;
    element("reckon").classList.toggle("is-filled", done);
    if (wrong.length) showStrip("", "", "Look again at: " + wrong.join(", ") + ".");
    else if (missing.length) showStrip("", "", "Still to fill in: " + missing.join(", ") + ".");
    else if (found.refused) showStrip("", "", found.refused);
    if (done) {
      const asked = data.outputs.findIndex((output) => output.id === wanted);
      const first = found.answers[asked] ? asked : found.answers.findIndex(Boolean);
      const own = found.answers[first];
      const grave = found.checks.find((check) => check.signal !== "notice");
      showStrip(data.steps[stepAt(data.outputs[first].id)].name, own.text + (own.off && !own.exact ? " \u00B1 " + own.off : ""), grave ? grave.signal.toUpperCase() + ": " + grave.text : "");
      showAnswers(found);
      showLines(found.run, settled);
    }
    later("slow", 200, () => {
      keepAddress();
      if (!done) return;
      const drawings = data.drawings.map((drawing) => Fettlebook.reckonDrawing(drawing, found.run, settled));
      one(".live-curves").replaceChildren(...drawings.concat(data.plots.map((plot) => reckonCurve(plot, settled))).filter(Boolean));
      showBackwards(settled);
    });
    later("says", 1200, () => { element("reckon-says").textContent = one(".strip-answer").innerText.replace(/\s+/g, " "); });
  }

  /** What was left out and is assumed, for paper. A nought stands for the table's own value. */
  function assumed() {
    const left = asks.filter((own) => own.input.default && !/^0 ?\D*$/.test(own.input.default) && (!own.box.value || own.input.choices && own.box.value === own.input.default));
    return left.map((own) => own.input.name + " " + settle(own.input, "").text).join("; ");
  }

  function start() {
    if (!element("reckon")) return;
    element("reckon").hidden = false;
    asks = all(".ask").map(ask);
    fill(fragment(window.location.hash));
    const form = element("reckon");
    form.addEventListener("input", update);
    form.addEventListener("change", update);
    // The event's own address: the window's may have been replaced by `keepAddress` before the event came.
    window.addEventListener("hashchange", (event) => {
      const given = fragment(new URL(event.newURL).hash);
      if (given.includes("=")) { fill(given); update(); }
    });
    window.addEventListener("beforeprint", () => {
      const day = new Date().toLocaleDateString(document.documentElement.lang || undefined, { day: "numeric", month: "long", year: "numeric" });
      element("reckon-date").textContent = day;
      element("reckon-assumed").textContent = assumed();
    });
    update();
  }

  Fettlebook.components.push({ name: "reckon", start, refresh: update });
})(window);
