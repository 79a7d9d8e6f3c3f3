// The sheet of a calculator (what its script holds) without a page: reads what is typed against an input, runs the plan, and gives answers with their
// uncertainty, worst case and verdicts; and seeks the other way round. Digits, shop roundings and words follow
// src/calculator step by step; a browser test holds both to the last digit.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const R = Fettlebook.reckon;
  if (!R || !Fettlebook.units || Fettlebook.reckonSheetOf) return;
  const NOISE = 12; // significant digits of a double that are trusted
  const COVERAGE = 2;
  const MOST_CORNERS = 12;
  const units = R.unitTable(Fettlebook.units);

  // ---- Digits. A double loses its noise first, then it is rounded as an exact decimal. ----

  const power = (value) => Number(value.toExponential().split("e")[1]);

  /** The exact decimal of a double without its noise, as a ratio and a double. */
  function clean(value) {
    const rounded = R.significant(value, NOISE);
    const [front, back = ""] = rounded.plain.split(".");
    return [BigInt(front + back), 10n ** BigInt(back.length), rounded.value];
  }

  /** A ratio to so many digits, counted after rounding; `places` tells where they end. */
  function digits(ratio, count, how) {
    if (ratio[2] === 0) return Object.assign(R.round(ratio, 0), { places: 0 });
    const top = power(ratio[2]);
    let places = count - 1 - top;
    let rounded = R.round(ratio, places, how);
    if (power(rounded.value) > top) rounded = R.round(ratio, places -= 1, how);
    return Object.assign(rounded, { places });
  }

  /** A whole multiple of `step` (its digits as text), with the step's places. */
  function multiple([top, bottom], step, how) {
    const [front, back = ""] = step.split(".");
    const size = BigInt(front + back);
    const unit = 10n ** BigInt(back.length);
    const count = BigInt(R.round([top * unit, bottom * size], 0, how).plain);
    return R.round([count * size, unit], back.length);
  }

  const written = (number, unit) => unit[4] + number.shown + unit[5];

  /** A number of a unit to six digits, without zeros at its end. */
  function plain(value, unit) {
    const { shown } = digits(clean(value), 6);
    return written({ shown: shown.replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "") }, unit);
  }

  // ---- What is typed. ----

  const middle = (read, input) => (read.low === null || (input.tolerance && read.value !== null) ? read.value : read.low + (read.high - read.low) / 2);

  function inside(value, input) {
    const slack = 1e-12 * Math.abs(value);
    return value >= input.from[0] - slack && value <= input.to[0] + slack;
  }

  /** Reads a text; a comma before three digits is taken for what alone can be meant between the input's limits. */
  function readFor(input, text, standIn) {
    const read = R.read(text, units, standIn);
    const comma = /,(?=\d{3}(?!\d))/g;
    if (!read.reason || !comma.test(text)) return read;
    const ways = [".", ""].map((sign) => R.read(text.replace(comma, sign), units, standIn));
    const likely = ways.filter((way) => !way.reason && inside(middle(way, input), input));
    return likely.length === 1 ? likely[0] : read;
  }

  /** What was read, in its own unit and to the places typed. */
  function asTyped(text, { form, unit: symbol, value, low, high }) {
    const [, , factor, offset] = Fettlebook.units.find((row) => row[0] === symbol);
    const places = (text.match(/\d*[.,]?\d+/g) || []).map((number) => (/[.,](\d+)$/.exec(number) || ["", ""])[1].length);
    const at = (own, index) => R.round(clean(own), /[/\u2044¼-⅞]/.test(text) ? 4 : places[index] || 0).shown;
    const behind = symbol === "1" ? "" : (symbol === "°" ? "" : "\u00A0") + symbol.replace("Δ", "");
    const before = symbol.startsWith("Δ") ? "Δ\u00A0" : "";
    const own = (of) => (of - offset) / factor;
    if (form === "range") return before + at(own(low), 0) + "\u2013" + at(own(high), 1) + behind;
    const off = form === "single" ? "" : " \u00B1 " + at((high - low) / 2 / factor, 1) + behind;
    return before + at(own(value), 0) + behind + off;
  }

  /** The unit that was typed, and the size of the last place typed in the coherent SI unit. */
  function lastPlace(text, symbol) {
    const [, back = ""] = /\d[.,](\d+)/.exec(text) || [];
    return [symbol, Fettlebook.units.find((row) => row[0] === symbol)[2] / 10 ** back.length];
  }

  /** {value, low, high, text}, {left} for what is left out, or {missing} or {wrong} with words. */
  function settle(input, typed, standIn) {
    const text = typed || input.default || "";
    if (!text) return input.optional ? { left: true } : { missing: true };
    const found = (input.choices || []).find(([key, words]) => key === text || words === text);
    if (found) return { value: found.length > 2 ? found[2] : found[0], text: found[1] };
    if (!input.unit) return { wrong: "not one of the choices" };
    const read = readFor(input, text, typed && standIn !== undefined ? standIn : input.unit[0]);
    if (read.reason) return { wrong: read.reason };
    if (read.kind !== input.unit[1]) return { wrong: "this is a " + read.kind + ", but a " + input.unit[1] + " is wanted" };
    const value = middle(read, input);
    if (!inside(value, input)) return { wrong: "must lie from " + input.from[1] + " to " + input.to[1] };
    return { value, low: read.low, high: read.high, spread: read.low < read.high, text: asTyped(text, read), last: lastPlace(text, read.unit) };
  }

  /** The sheet of a calculator. */
  function reckonSheetOf(data) {
    // ---- A sheet: answers with their spread, and verdicts. ----

    const numeric = () => data.plan.inputs.filter(([, type]) => type === "number").map(([id]) => id);

    function runWith(settled, changes) {
      const inputs = {};
      for (const [id, given] of Object.entries(settled)) inputs[id] = given.value;
      return R.run(data.plan, Object.assign(inputs, changes), data.tables);
    }

    /** Standard uncertainty and shares, of measured inputs by their derivatives (JCGM 100:2008, equation 10). */
    function combined(by, settled) {
      const parts = [];
      numeric().forEach((id, index) => {
        const [given, input] = [settled[id], inputOf(id)];
        if (!given || !given.spread || input.tolerance) return;
        parts.push([input, by[index] * (given.high - given.low) / 2 / COVERAGE]);
      });
      const largest = Math.max(0, ...parts.map(([, part]) => Math.abs(part)));
      if (!(largest > 0 && Number.isFinite(largest))) return null;
      const sum = parts.reduce((total, [, part]) => total + (part / largest) ** 2, 0);
      const shares = parts.map(([input, part]) => [input.name, (part / largest) ** 2 / sum]).sort((a, b) => b[1] - a[1]);
      return { standard: largest * Math.sqrt(sum), shares };
    }

    const inputOf = (id) => data.inputs.find((input) => input.id === id);
    const stepAt = (id) => data.steps.findIndex((step) => step.id === id);

    /** An answer of a run in a unit: {text, off, shares, number}. */
    function shown(answer, unit, count, settled) {
      if ("reason" in answer) return null;
      if (typeof answer.value !== "number") {
        return { text: typeof answer.value === "string" ? answer.value : answer.value ? "yes" : "no" };
      }
      const ratio = clean((answer.value - unit[3]) / unit[2]);
      const spread = combined(answer.by, settled);
      // Where an input cancels out, rounding leaves a trace of its uncertainty that means nothing.
      if (!spread || spread.standard * COVERAGE <= Math.abs(answer.value) * 1e-12) return { ratio, text: written(digits(ratio, count), unit) };
      const off = digits(clean(spread.standard * COVERAGE / unit[2]), 2);
      return { ratio, places: off.places, text: written(R.round(ratio, off.places), unit), off: off.shown + unit[5], shares: spread.shares };
    }

    /** A value in another unit, to the coarsest place that the rule of src/quantity/convert.rs allows. */
    function like(found, { unit }, { spread, last }) {
      if (spread) return found;
      const [place, size] = [last[1] / unit[2], Math.abs(found.ratio[2])];
      const coarsest = Math.round(Math.log10(place));
      let allowed = place / 2;
      if (unit[1] !== "temperature") allowed = Math.min(allowed, size * 0.02);
      if (unit[1] === "length" && size * unit[2] < 0.5) allowed = Math.min(allowed, 1e-4 / unit[2]);
      let places = size ? -Math.max(power(size), coarsest) - 1 : 0;
      if (last[0] === unit[0]) places = -coarsest;
      let number = R.round(found.ratio, places);
      while (Math.abs(number.value - found.ratio[2]) > allowed * (1 + 1e-9)) number = R.round(found.ratio, places += 1);
      return Object.assign(found, { exact: found.text, text: written(number, unit), number });
    }

    /** The answer of an output, rounded for the shop floor if it asks for it. */
    function answer(run, output, settled) {
      const at = stepAt(output.id);
      const step = data.steps[at];
      const found = shown(run.steps[at], output.unit, step.digits, settled);
      if (!found || !found.ratio) return found;
      if (output.like) return like(found, output, settled[output.like]);
      if (!output.round) return found;
      const [how, to] = output.round;
      const rounded = to ? multiple(found.ratio, to, how) : digits(found.ratio, step.digits, how);
      return Object.assign(found, { exact: found.text, text: written(rounded, output.unit), number: rounded });
    }

    /** Prints a value into a sentence. */
    function printer(run, settled) {
      return (id) => {
        const output = data.outputs.find((own) => own.id === id && own.round);
        if (output) return (answer(run, output, settled) || { text: id }).text;
        const at = stepAt(id);
        if (at < 0) return settled[id] && settled[id].text ? settled[id].text : id;
        const step = data.steps[at];
        const found = shown(run.steps[at], step.unit, step.digits, settled) || { text: "?" };
        // A small uncertainty is no reason for long numbers in a sentence.
        const short = found.off && digits(found.ratio, step.digits);
        return short && Math.max(0, found.places) > Math.max(0, short.places) ? written(short, step.unit) : found.text;
      };
    }

    const say = (parts, print) => parts.map((part, index) => (index % 2 ? print(part) : part)).join("");
    const why = ({ reason, step }) => reason + " in `" + step + "`";
    /** Whether there is no answer only because something was left out that may be. */
    const leftOut = ({ step }) => Boolean((inputOf(step) || {}).optional);

    /** Whether a run's conditions hold: what may be left out counts for nothing. */
    const holds = (run) => run.checks.slice(0, data.valid.length).every((check) => check.value === true || (check.reason && leftOut(check)));

    function refusal(run, settled) {
      const count = data.valid.length;
      const broken = run.checks.slice(0, count).findIndex((check) => check.value === false);
      if (broken >= 0) return say(data.valid[broken], printer(run, settled));
      const held = run.checks.slice(0, count).find((check) => "reason" in check && !leftOut(check));
      if (held) return why(held);
      const answers = data.outputs.map((output) => run.steps[stepAt(output.id)]).filter((found) => !(found.reason && leftOut(found)));
      if (!answers.length) return "nothing that is asked for can be worked out from what was given";
      return answers.every((found) => "reason" in found) ? why(answers[0]) : null;
    }

    /** Every combination of the limits of toleranced inputs. */
    function corners(settled) {
      const limited = data.inputs.filter((input) => input.tolerance && settled[input.id] && settled[input.id].spread);
      if (!limited.length || limited.length > MOST_CORNERS) return [];
      return Array.from({ length: 1 << limited.length }, (none, corner) => {
        const moved = Object.assign({}, settled);
        limited.forEach(({ id }, bit) => {
          moved[id] = Object.assign({}, settled[id], { value: corner >> bit & 1 ? settled[id].high : settled[id].low });
          const unit = inputOf(id).unit;
          moved[id].text = plain((moved[id].value - unit[3]) / unit[2], unit);
        });
        return { run: runWith(moved), settled: moved };
      });
    }

    /** Checks that speak, the gravest first: {signal, text}. */
    function verdicts(run, settled, ends) {
      const found = data.checks.map((check, index) => {
        const at = data.valid.length + index;
        const raised = (of) => of.checks[at].value === true;
        if (raised(run)) return { signal: check.signal, text: say(check.say, printer(run, settled)) };
        const end = ends.find((corner) => holds(corner.run) && raised(corner.run));
        if (end) return { signal: check.signal, text: "At the limits of what is given: " + say(check.say, printer(end.run, end.settled)) };
        const held = run.checks[at];
        return held.reason && !leftOut(held) ? { signal: check.signal, text: "Could not be checked (" + why(held) + ")." } : null;
      });
      const grave = ["danger", "warning", "caution", "notice"];
      return found.filter(Boolean).sort((a, b) => grave.indexOf(a.signal) - grave.indexOf(b.signal));
    }

    /** The least and most of a step at the limits, outwards to the places shown. */
    function worst(output, run, ends, found) {
      const at = stepAt(output.id);
      const values = ends.map((corner) => corner.run.steps[at].value).concat(run.steps[at].value);
      if (!ends.length || !values.every(Number.isFinite) || !ends.every((corner) => holds(corner.run))) return "";
      const [low, high] = [Math.min(...values), Math.max(...values)];
      if (!(low < high)) return "";
      const [, , factor, offset] = output.unit;
      const places = digits(found.ratio, data.steps[at].digits).places;
      const end = (value, how) => R.round(clean((value - offset) / factor), places, how).shown;
      return "worst case at the limits: " + end(low, "down") + "\u2013" + end(high, "up") + output.unit[5];
    }

    /** The whole sheet of settled inputs. */
    function sheet(settled) {
      const run = runWith(settled);
      const refused = refusal(run, settled);
      if (refused) return { run, refused };
      const ends = corners(settled);
      const answers = data.outputs.map((output) => {
        const found = answer(run, output, settled);
        if (found && found.ratio) found.worst = worst(output, run, ends, found);
        return found;
      });
      return { run, answers, checks: verdicts(run, settled, ends) };
    }

    // ---- The other way round: the range is looked over, finer towards given values of the same kind. ----

    function seek(settled, id, at, wanted) {
      const input = inputOf(id);
      const value = (x) => {
        const run = runWith(settled, { [id]: x });
        return holds(run) && Number.isFinite(run.steps[at].value) ? run.steps[at].value - wanted : null;
      };
      if (input.choices) return input.choices.map(([, , own]) => own).filter((own) => Math.abs(value(own)) <= 5e-4 * Math.abs(wanted));
      const [from, to] = [input.from[0], input.to[0]];
      const ends = Array.from({ length: 65 }, (none, index) => from + (to - from) * index / 64);
      const alike = data.inputs.filter((own) => own.unit && own.unit[1] === input.unit[1] && settled[own.id]);
      for (const place of alike.map((own) => settled[own.id].value)) {
        ends.push(place);
        for (let part = 1; part <= 20; part += 1) ends.push(place - (to - from) / 2 ** part, place + (to - from) / 2 ** part);
      }
      const inside = ends.filter((end) => end >= from && end <= to).sort((a, b) => a - b);
      const found = [];
      for (let index = 1; index < inside.length; index += 1) {
        for (const root of R.roots(value, inside[index - 1], inside[index], 4).at || []) {
          if (!found.length || root - found[found.length - 1] > 1e-9 * (to - from)) found.push(root);
        }
      }
      return found;
    }

    return { plain, units, settle, sheet, seek, runWith, shown, printer, holds, digits, clean, written, inputOf, stepAt };
  }

  Fettlebook.reckonSheetOf = reckonSheetOf;
  if (Fettlebook.calculator) Fettlebook.reckonSheet = reckonSheetOf(Fettlebook.calculator);
})(window);
