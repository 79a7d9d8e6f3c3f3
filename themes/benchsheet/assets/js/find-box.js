// The box for questions: a combobox as the ARIA Authoring Practices describe it, whose list stays in the page. It asks the
// engine while the reader types, for the reader's own machine, and drops answers to what is no longer asked. The question
// stays in the page's address, so that an answer's "back" finds the answers again.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const MOST = 6; // tags that are shown at once
  const WAIT = 60; // ms after a key before it is asked
  const PAUSE = 700; // ms without typing before the count is spoken
  const SLOW = 400; // ms without an answer before the page says that it looks

  const state = { ticket: 0, family: "", isAll: false, isClosed: false, shown: MOST, active: -1, found: null, machine: "" };
  const timers = {};
  let parts = null;

  /** The elements of the box; null on a page that has none. */
  function partsOf(box) {
    const at = (selector) => box && box.querySelector(selector);
    return box && {
      form: at(".find-form"), input: at(".find-question"), clear: at(".find-clear"), says: at(".find-says"), asked: at(".find-asked b"), meant: at(".find-meant"),
      list: at(".find-answers"), more: at(".find-more"), others: at(".find-others"), narrow: at(".find-narrow"), ways: at(".find-ways"),
      spoken: at(".find-spoken"),
    };
  }

  function later(name, task, wait) {
    window.clearTimeout(timers[name]);
    timers[name] = window.setTimeout(task, wait);
  }

  function typed() {
    return parts.input.value.trim();
  }

  /** Whether this is the page whose only purpose is finding. */
  function isOwnPage() {
    return Fettlebook.place.isAt("find.html");
  }

  // ---- asking ----

  function machine() {
    return Fettlebook.machine ? Fettlebook.machine.chosen() : { choices: {}, serials: {} };
  }

  function wishes() {
    const own = state.isAll ? { choices: {}, serials: {} } : machine();
    return { choices: Object.values(own.choices), serials: own.serials, family: state.family };
  }

  async function ask() {
    const ticket = ++state.ticket;
    const text = typed();
    if (!text) return;
    later("slow", () => { if (ticket === state.ticket && !state.found) say("Looking …"); }, SLOW);
    let found = null;
    try {
      found = await Fettlebook.find.ask(text, wishes());
    } catch (failure) {
      found = null;
    }
    if (ticket !== state.ticket) return;
    window.clearTimeout(timers.slow);
    keepAddress();
    Object.assign(state, { found, shown: MOST, active: -1, isClosed: false });
    show(text);
  }

  /** Asks once the reader has stopped for a moment; an empty box rests at once. */
  function asks() {
    state.isClosed = false;
    parts.clear.hidden = parts.input.value === "";
    state.ticket += 1;
    if (typed()) return later("ask", ask, WAIT);
    window.clearTimeout(timers.ask);
    return rest();
  }

  /** Keeps the question in the address. Some browsers refuse this for files, and for too many in a row. */
  function keepAddress() {
    const address = new URL(window.location.href);
    if (typed()) address.searchParams.set("q", typed()); else address.searchParams.delete("q");
    try { window.history.replaceState(null, "", address); } catch (refused) { /* then "back" begins anew */ }
  }

  // ---- showing ----

  function say(text) {
    parts.says.textContent = text;
  }

  function speak(text) {
    later("speak", () => { parts.spoken.textContent = text; }, PAUSE);
  }

  /** Puts everything away: the box is empty, or the reader closed the list. */
  function rest() {
    Object.assign(state, { found: null, active: -1 });
    parts.asked.textContent = "";
    if (!typed()) Object.assign(state, { family: "", isAll: false });
    for (const part of [parts.meant, parts.list, parts.more, parts.others, parts.narrow]) part.hidden = true;
    parts.ways.hidden = !isOwnPage();
    parts.list.replaceChildren();
    say("");
    speak("");
    finding(false);
    if (!typed()) keepAddress();
    mark();
  }

  /** While there are answers, what else stands on the page makes room. */
  function finding(is) {
    const sheet = parts.form.closest("main");
    if (is && !sheet.classList.contains("is-finding")) window.scrollTo(0, 0);
    sheet.classList.toggle("is-finding", is);
  }

  function show(text) {
    const found = state.found;
    const answers = found ? found.answers : [];
    finding(true);
    parts.ways.hidden = answers.length > 0;
    parts.asked.textContent = text;
    say(summary(text, answers));
    speak(parts.says.textContent);
    meant(found ? found.meant || [] : []);
    tags(answers);
    others(found ? found.hidden || 0 : 0);
    narrow(found ? found.families || [] : []);
  }

  function summary(text, answers) {
    if (!state.found) return "The search could not load what it needs. Look it up in a list instead.";
    const kind = state.family ? " of this kind" : "";
    if (!answers.length) return "Nothing" + kind + " is found for “" + text + "”. Try fewer words, or the number printed on the part or sheet.";
    const counts = (state.found.families || []).filter(([family]) => !state.family || family === state.family);
    const total = Math.max(answers.length, counts.reduce((sum, [, count]) => sum + count, 0));
    const order = total > answers.length ? ", the best " + answers.length + " listed" : ", best first";
    return total + kind + " found" + whose() + (total > 1 ? order : "");
  }

  /** For which machine, where the head of the page does not say so: on the front page while its plate still asks. */
  function whose() {
    if (!document.querySelector(".plate-chooser")) return "";
    return " for " + (Fettlebook.machine.named(machine()) || "every machine");
  }

  /** Says which word was put right. */
  function meant(pairs) {
    const { make } = Fettlebook.sheet;
    parts.meant.hidden = !pairs.length;
    parts.meant.replaceChildren(...pairs.flatMap(([own, better], index) =>
      [index ? "; " : "Shown for ", make("b", {}, better), "; you typed ", make("q", {}, own)]));
  }

  function tags(answers) {
    const stems = state.found && state.found.stems || [];
    const shown = answers.slice(0, state.shown);
    parts.list.replaceChildren(...shown.map((answer, index) => Fettlebook.findTags.tag(answer, "find-answer-" + (index + 1), stems)));
    parts.list.hidden = !shown.length;
    parts.more.hidden = answers.length <= shown.length;
    parts.more.textContent = answers.length - shown.length + " more";
    mark();
  }

  function others(hidden) {
    const [words, key] = parts.others.children;
    parts.others.hidden = !hidden && !state.isAll;
    words.textContent = state.isAll ? "Those for other machines are shown too." : hidden + " more for other machines " + (hidden === 1 ? "is" : "are") + " left out.";
    key.textContent = state.isAll ? "leave them out" : "show them";
  }

  function narrow(counts) {
    const by = new Map(counts);
    parts.narrow.hidden = by.size < 2 && !state.family;
    for (const key of parts.narrow.querySelectorAll("button")) {
      const { family } = key.dataset;
      key.setAttribute("aria-pressed", String(family === state.family));
      if (!family) continue;
      key.hidden = !by.has(family) && family !== state.family;
      key.querySelector("b").textContent = String(by.get(family) || 0);
    }
  }

  // ---- choosing ----

  function options() {
    return Array.from(parts.list.children);
  }

  /** Tells eyes and ears which answer Enter opens. */
  function mark() {
    const all = options();
    all.forEach((option, index) => option.setAttribute("aria-selected", String(index === state.active)));
    parts.input.setAttribute("aria-expanded", String(!parts.list.hidden));
    const active = all[state.active];
    if (!active) return parts.input.removeAttribute("aria-activedescendant");
    parts.input.setAttribute("aria-activedescendant", active.id);
    return active.scrollIntoView({ block: "nearest" });
  }

  /** The next place up or down; from the last answer back to the box, and from the box to the first. */
  function step(by) {
    if (state.isClosed) return ask();
    const places = options().length + 1;
    state.active = (state.active + 1 + by + places) % places - 1;
    return mark();
  }

  /** First Escape puts the answers away, the next one empties the box. */
  function escape() {
    if (!parts.list.hidden || !state.isClosed && typed()) {
      rest();
      state.isClosed = true;
      state.ticket += 1;
      window.clearTimeout(timers.ask);
    } else {
      empty();
    }
  }

  function empty() {
    parts.input.value = "";
    asks();
  }

  /** What a key does in the box; false when it is the box's own business. */
  function press(event) {
    const active = options()[state.active];
    const doing = {
      ArrowDown: () => step(1),
      ArrowUp: () => step(-1),
      Home: active && (() => { state.active = 0; mark(); }),
      End: active && (() => { state.active = options().length - 1; mark(); }),
      Enter: active && (() => active.click()),
      Escape: parts.input.value !== "" && escape,
    }[event.key];
    if (!doing || event.isComposing || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    doing();
  }

  /** On its own page, and in the library's one file, the form has nowhere to go: it asks at once, and a phone's keyboard makes room for the answers. */
  function submit(event) {
    if (typed() && !isOwnPage() && parts.form.hasAttribute("action")) return;
    event.preventDefault();
    window.clearTimeout(timers.ask);
    if (typed()) ask();
    if (typed() && window.matchMedia("(pointer: coarse)").matches) parts.input.blur();
  }

  function showMore() {
    const first = state.shown;
    state.shown = Infinity;
    tags(state.found.answers);
    const next = options()[first];
    if (next) next.focus();
  }

  // ---- starting ----

  /** The box stands above the bar of keys on a phone, whatever the size of the text. */
  function measure() {
    const style = document.documentElement.style;
    style.setProperty("--thumb", document.querySelector(".thumb").offsetHeight + "px");
    style.setProperty("--find", parts.form.offsetHeight + "px");
  }

  function listen() {
    parts.input.addEventListener("input", asks);
    parts.input.addEventListener("keydown", press);
    parts.form.addEventListener("submit", submit);
    parts.more.addEventListener("click", showMore);
    parts.clear.addEventListener("click", () => { empty(); parts.input.focus(); });
    parts.others.querySelector("button").addEventListener("click", () => { state.isAll = !state.isAll; ask(); });
    parts.narrow.addEventListener("click", (event) => {
      const key = event.target.closest("button");
      if (!key) return;
      state.family = key.dataset.family;
      ask();
    });
    const key = document.querySelector(".thumb a[href='" + Fettlebook.place.address("find.html") + "']");
    if (key) key.addEventListener("click", (event) => { event.preventDefault(); parts.input.focus(); });
    document.addEventListener("fettlebook:machine", followMachine);
    if (window.ResizeObserver) for (const part of [parts.form, document.querySelector(".thumb")]) new window.ResizeObserver(measure).observe(part);
  }

  /** Answers are for the machine that was chosen when they were asked for. */
  function followMachine() {
    const now = JSON.stringify(machine());
    if (now === state.machine) return;
    state.machine = now;
    state.isAll = false;
    if (typed() && !state.isClosed) ask();
  }

  function start() {
    parts = partsOf(document.querySelector("[data-component='find']"));
    if (!parts || parts.input.getAttribute("role")) return;
    for (const [name, value] of [["role", "combobox"], ["aria-controls", parts.list.id], ["aria-autocomplete", "list"]]) parts.input.setAttribute(name, value);
    state.machine = JSON.stringify(machine());
    listen();
    const question = new URLSearchParams(window.location.search).get("q");
    if (question) parts.input.value = question;
    rest();
    asks();
    if (isOwnPage() && !question) parts.input.focus();
  }

  Fettlebook.components.push({ name: "find", start });
})(window);
