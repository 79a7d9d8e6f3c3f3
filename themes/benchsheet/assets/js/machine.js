// The reader's own machine: one choice of each variant and, if known, its serials. Elements with data-for, data-from
// or data-to that do not fit are hidden; the page says how many, and one key shows them. Nothing chosen: all show.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, hide, button, bar, switchGroup, panel, underTitle } = Fettlebook.sheet;
  let showOthers = false;

  function variants() {
    return (Fettlebook.library && Fettlebook.library.variants) || [];
  }

  /** {choices: {variant id: choice id}, serials: {variant id: text}}, only what this library still knows. */
  function chosen() {
    const choices = Fettlebook.store.machine();
    const serials = Fettlebook.store.readTexts("serials");
    const machine = { choices: {}, serials: {} };
    for (const variant of variants()) {
      if (!choiceOf(variant, choices[variant.id])) continue;
      machine.choices[variant.id] = choices[variant.id];
      const serial = splitSerial(serials[variant.id]);
      if (serial) machine.serials[variant.id] = serial;
    }
    return machine;
  }

  /** "S16-0088" or "s16 0088" as {prefix: "S16-", number: 88}; null for anything without digits at its end. */
  function splitSerial(text) {
    const parts = /^(.*?)(\d{1,15})$/.exec(String(text || "").trim().toUpperCase().replace(/[\s-]+/g, "-"));
    return parts ? { prefix: parts[1], number: Number(parts[2]) } : null;
  }

  /** Is the serial below `from` or above `to`? A bound of another prefix says nothing about it. */
  function outside(serial, from, to) {
    const least = splitSerial(from);
    const most = splitSerial(to);
    return Boolean((least && least.prefix === serial.prefix && serial.number < least.number)
      || (most && most.prefix === serial.prefix && serial.number > most.number));
  }

  /** Does something marked for `tokens` ("launch:smewick-16 engine:early") and serials from–to fit? Unknown counts as yes. */
  function fits(machine, tokens, from, to) {
    const wanted = {};
    for (const token of String(tokens || "").split(/\s+/).filter(Boolean)) {
      const at = token.indexOf(":");
      (wanted[token.slice(0, at)] = wanted[token.slice(0, at)] || []).push(token.slice(at + 1));
    }
    for (const [variant, choices] of Object.entries(wanted)) {
      const own = machine.choices[variant];
      if (own !== undefined && !choices.includes(own)) return false;
    }
    for (const serial of Object.values(machine.serials)) if (outside(serial, from, to)) return false;
    return true;
  }

  function fitsElement(machine, element) {
    return fits(machine, element.dataset.for, element.dataset.from, element.dataset.to);
  }

  function choiceOf(variant, id) {
    return variant.choices.find((choice) => choice.id === id);
  }

  /** "Smewick 16, early engine", or "" when nothing is chosen. */
  function named(machine) {
    const own = variants().map((variant) => choiceOf(variant, machine.choices[variant.id]));
    return own.filter(Boolean).map((choice) => choice.name).join(", ");
  }

  // ---- choosing ----

  function keep(variant, choice) {
    const choices = Fettlebook.store.readTexts("machine");
    if (choice) choices[variant] = choice; else delete choices[variant];
    Fettlebook.store.write("machine", choices);
    showOthers = false;
    apply();
  }

  /** Digits alone are the running number of the chosen range: "60" on a Smewick 16 is S16-0060. */
  function wholeSerial(variant, text) {
    const own = choiceOf(variant, chosen().choices[variant.id]);
    const bound = own && own.serials && (own.serials.from || own.serials.to);
    const parts = bound && /^(.*?)(\d+)$/.exec(bound);
    return parts && /^\d+$/.test(text) ? parts[1] + text.padStart(parts[2].length, "0") : text;
  }

  /** Keeps a typed serial and returns it as kept. */
  function keepSerial(variant, typed) {
    const serials = Fettlebook.store.readTexts("serials");
    const text = wholeSerial(variant, typed.trim().slice(0, 40));
    if (text) serials[variant.id] = text; else delete serials[variant.id];
    Fettlebook.store.write("serials", serials);
    apply();
    return text;
  }

  function rangeText(range) {
    if (!range) return "";
    return range.name + (range.from ? " from " + range.from : "") + (range.to ? " to " + range.to : "");
  }

  /** What to say about a typed serial: nothing when it lies in its choice's range or cannot be judged. */
  function serialSays(variant, text) {
    if (!text.trim()) return "";
    const serial = splitSerial(text);
    const own = choiceOf(variant, chosen().choices[variant.id]);
    if (!serial) return "A number ends in digits. Look at the plate again.";
    if (!own) return "Choose the " + variant.name.toLowerCase() + " first.";
    const range = own.serials || {};
    const known = splitSerial(range.from || range.to);
    if (!known || (known.prefix === serial.prefix && !outside(serial, range.from, range.to))) return "";
    return "Not a number of " + own.name + " (" + rangeText(range) + "). Look at the plate again.";
  }

  function serialBox(variant) {
    const ranged = variant.choices.find((choice) => choice.serials);
    if (!ranged) return [];
    const id = "serial-" + variant.id;
    const says = make("p", { class: "serial-says", id: id + "-says", role: "status" });
    const input = make("input", { id, type: "text", autocomplete: "off", autocapitalize: "characters", spellcheck: "false", "aria-describedby": id + "-says" });
    input.value = Fettlebook.store.readTexts("serials")[variant.id] || "";
    input.addEventListener("change", () => {
      input.value = keepSerial(variant, input.value);
      says.textContent = serialSays(variant, input.value);
    });
    const summary = make("summary", {}, "The " + ranged.serials.name + " number, if you know it");
    const label = make("label", { for: id }, "Number on the " + ranged.serials.name + " plate");
    return [make("details", { class: "serial", open: input.value !== "" }, summary, label, input, says)];
  }

  function chooser() {
    const [fixed] = (document.documentElement.dataset.machine || "").split(":");
    return variants().filter((variant) => variant.id !== fixed).map((variant) => {
      const choices = variant.choices.map((choice) => ({ value: choice.id, text: choice.name, small: rangeText(choice.serials) }));
      choices.push({ value: "", text: "not sure, show all" });
      const group = switchGroup({
        legend: variant.name,
        name: "machine-" + variant.id,
        choices,
        chosen: chosen().choices[variant.id] || "",
        hint: variant.plate,
        onChange(value) { keep(variant.id, value); },
      });
      group.append(...serialBox(variant));
      return group;
    });
  }

  function change() {
    panel("Your machine", chooser());
  }

  // ---- showing ----

  /** Whether the whole page is for other machines: then nothing on it is hidden, and its head says so. */
  function pageIsForOthers(machine) {
    const title = document.querySelector(".title-block");
    return Boolean(title && title.dataset.for !== undefined && !fitsElement(machine, title));
  }

  /**
   * Hides what does not fit; returns how many that were (nested ones count once). Inside a sentence the words stay, each
   * with its machine before it, so that no sentence loses its words; only another machine's value goes.
   */
  function filter(machine) {
    const others = pageIsForOthers(machine);
    let count = 0;
    for (const element of document.querySelectorAll("[data-for], [data-from], [data-to]")) {
      if (element.matches(".title-block")) continue;
      const other = !others && !fitsElement(machine, element);
      element.classList.toggle("is-not-mine", other);
      element.classList.toggle("is-other", other && showOthers);
      if (element.matches(".in-words")) {
        const value = element.querySelector(".ref-figure");
        if (value) hide(value, "machine", other && !showOthers);
        continue;
      }
      hide(element, "machine", other && !showOthers);
      if (other && !element.parentElement.closest(".is-not-mine")) count += 1;
    }
    emptyBlocks();
    return count;
  }

  /** A box of corrections whose lines are all hidden goes too, and so does what points at it. */
  function emptyBlocks() {
    for (const block of document.querySelectorAll(".stop-block")) {
      const lines = Array.from(block.querySelectorAll(".change"));
      const empty = lines.length > 0 && lines.every((line) => line.hidden);
      hide(block, "empty", empty);
      for (const link of document.querySelectorAll("a[href='#" + block.id + "']")) hide(link, "empty", empty);
    }
  }

  function titleLine(machine) {
    const title = document.querySelector(".title-block");
    if (!title || document.querySelector(".plate-chooser")) return;
    let line = title.querySelector(".tb-machine");
    if (!line) {
      line = make("div", { class: "tb-machine" }, make("span"), button("", change, { "aria-haspopup": "dialog" }));
      const after = title.querySelector(".tb-for") || title.querySelector(".tb-title");
      if (after) after.after(line); else title.append(line);
    }
    const name = named(machine);
    const [words, key] = line.children;
    words.replaceChildren(...(name ? ["Your machine: ", make("b", {}, name)] : ["No machine chosen: all are shown."]));
    key.textContent = name ? "change" : "choose";
    key.setAttribute("aria-label", key.textContent + " your machine");
  }

  function bars(machine, count) {
    for (const old of document.querySelectorAll(".bar-machine, .bar-mismatch")) old.remove();
    const title = document.querySelector(".title-block");
    const name = named(machine);
    if (pageIsForOthers(machine)) {
      const own = title.querySelector(".tb-for");
      const says = "Not for your machine. " + (own ? own.textContent.trim() + ". " : "") + "Yours is " + name + ".";
      underTitle(bar("mismatch", says));
    }
    if (!count) return;
    const text = count + (count === 1 ? " entry " : " entries ") + (showOthers ? "hatched" : "hidden") + ": not for " + name + ".";
    const key = button(showOthers ? "hide them" : "show all", () => {
      showOthers = !showOthers;
      apply();
      const next = document.querySelector(".bar-machine .key");
      if (next) next.focus();
    });
    underTitle(bar("machine", text, key));
  }

  function paperNames(machine) {
    const name = named(machine);
    const paper = document.documentElement.dataset;
    if (paper.paperAll === undefined) paper.paperAll = paper.paperFor || "";
    paper.paperFor = name || paper.paperAll;
    for (const element of document.querySelectorAll("[data-machine-name]")) {
      if (element.dataset.machineName === "") element.dataset.machineName = element.textContent || " ";
      element.textContent = name || element.dataset.machineName;
    }
  }

  function frontPlate(machine) {
    const plate = document.querySelector("[data-component='machine-choice']");
    if (!plate || plate.querySelector(".plate-chooser")) return;
    const complete = variants().every((variant) => machine.choices[variant.id]);
    const plain = plate.querySelector(".plate-plain");
    if (plain) plain.classList.add("is-replaced");
    if (complete) plate.hidden = true;
    else plate.append(make("div", { class: "plate-chooser" }, ...chooser()));
  }

  function apply() {
    const machine = chosen();
    const known = variants().every((variant) => machine.choices[variant.id]);
    document.documentElement.classList.toggle("machine-known", known);
    const count = filter(machine);
    titleLine(machine);
    bars(machine, count);
    paperNames(machine);
    document.dispatchEvent(new CustomEvent("fettlebook:machine"));
  }

  /** A link may lead to something that is not for this machine: then everything is shown, and it is brought into view. */
  function showTarget() {
    const target = document.getElementById(window.location.hash.slice(1));
    if (!target || !target.closest(".is-not-mine[hidden]")) return;
    showOthers = true;
    apply();
    target.scrollIntoView();
  }

  function start() {
    if (!variants().length) return;
    frontPlate(chosen());
    apply();
    showTarget();
    window.addEventListener("hashchange", showTarget);
  }

  function refresh() {
    if (variants().length) apply();
  }

  Fettlebook.machine = { chosen, fits, named };
  Fettlebook.components.push({ name: "machine", start, refresh });
})(window);
