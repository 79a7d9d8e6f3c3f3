// Reckoning apart from the page. Step by step as in src/formula, to which tests/parity.rs holds it; the notes stand there.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  if (Fettlebook.reckon) return;

  // Digits. What is rounded are exact ratios, [top, bottom].

  const ten = (power) => 10n ** BigInt(power);
  const floor = (top, bottom) => (top - ((top % bottom) + bottom) % bottom) / bottom;
  const size = (value) => (value < 0n ? -value : value);

  function exact(value) {
    let power = 0;
    if (!Number.isFinite(value)) value = 0;
    for (; value % 1 !== 0; power += 1) value *= 2;
    return [BigInt(value), 1n << BigInt(power)];
  }

  /** In units of a place; `how` is nearest (ties away from zero), up or down. */
  function whole([top, bottom], places, how) {
    if (places < 0) bottom *= ten(-places); else top *= ten(places);
    if (how === "up") return -floor(-top, bottom);
    if (how === "down") return floor(top, bottom);
    return floor(2n * size(top) + bottom, 2n * bottom) * (top < 0n ? -1n : 1n);
  }

  /** A double or ratio with `places` digits behind the point: as shown, plain for machines, as a double. */
  function round(value, places, how) {
    const units = whole(Array.isArray(value) ? value : exact(value), places, how) * (places < 0 ? ten(-places) : 1n);
    const digits = String(size(units)).padStart(places + 1, "0");
    const front = places > 0 ? digits.slice(0, -places) : digits;
    const back = places > 0 ? "." + digits.slice(-places) : "";
    const grouped = front.length > 4 ? front.replace(/\B(?=(\d{3})+$)/g, "\u202F") : front;
    const sign = units < 0n;
    const plain = (sign ? "-" : "") + front + back;
    return { shown: (sign ? "\u2212" : "") + grouped + back, plain, value: Number(plain) };
  }

  /** Digits are counted after rounding. */
  function significant(value, digits, how) {
    const top = Number.isFinite(value) && value ? Number(value.toExponential().split("e")[1]) : digits - 1;
    const places = digits - 1 - top;
    const found = size(whole(exact(value), places, how));
    if (found >= ten(digits)) return round(value, places - 1, how);
    // 1e23 is below 10²³.
    return round(value, found && found < ten(digits - 1) ? places + 1 : places, how);
  }

  function figure(value, [symbol, factor, offset]) {
    const text = significant((value - offset) / factor, 6).shown.replace(/(\.[0-9]*?)0+$/, "$1").replace(/\.$/, "");
    return text + (symbol && "\u00A0" + symbol);
  }

  // Tables. A reason to refuse is thrown as text.

  const fail = (reason) => { throw reason; };
  const same = (one, other) => Math.abs(one - other) <= 1e-9 * Math.max(Math.abs(one), Math.abs(other));
  const beyond = (number, bound) => number - bound > 1e-9 * Math.abs(bound);
  const named = (table) => "the table \u201C" + table.title + "\u201D";
  const spaced = (name) => name.replace(/_/g, " ");

  function admits(cell, key) {
    if (typeof cell === "string" || typeof key === "string") return cell === key;
    return Array.isArray(cell) ? beyond(key, cell[0]) && !beyond(key, cell[1]) : same(cell, key);
  }

  function noRow(table, index, value, rows) {
    const key = table.keys[index];
    const title = named(table);
    const none = title + " has no row for " + spaced(key.name) + " ";
    if (typeof value === "string") return none + value;
    const bounds = rows.flatMap((row) => row[index]);
    const [lowest, highest] = [Math.min(...bounds), Math.max(...bounds)];
    const shown = figure(value, key.unit);
    const inside = lowest <= value && value <= highest && !(key.kind === "range" && value === lowest);
    if (inside) return none + shown;
    return shown + " lies outside " + title + " (" + figure(lowest, key.unit) + " to " + figure(highest, key.unit) + ")";
  }

  function find(table, column, keys) {
    const place = table.columns.indexOf(column);
    if (place < 0) fail(named(table) + " has no column " + column);
    const at = table.keys.length + place;
    const cell = (row) => {
      if (!row || row[at] === null) fail(named(table) + " gives no " + spaced(column) + " here");
      return { value: row[at], slope: 0, key };
    };
    const key = table.keys.findIndex((own) => own.kind === "interpolated");
    let rows = table.rows;
    table.keys.forEach((own, index) => {
      if (index === key) return;
      const left = rows.filter((row) => admits(row[index], keys[index]));
      if (!left.length) fail(noRow(table, index, keys[index], rows));
      rows = left;
    });
    if (key < 0) return cell(rows[0]);
    const wanted = keys[key];
    const on = (row) => same(row[key], wanted);
    rows = rows.slice().sort((one, other) => one[key] - other[key]);
    let upper = rows.findIndex((row) => row[key] > wanted && !on(row));
    if (upper < 0) upper = rows.length - 1;
    const [first, second] = [rows[Math.max(upper - 1, 0)], rows[upper]];
    const inside = first[key] <= wanted && wanted <= second[key];
    if (!inside && !on(first) && !on(second)) fail(noRow(table, key, wanted, rows));
    if (typeof first[at] !== "number" || typeof second[at] !== "number") return cell([first, second].find(on));
    const rise = second[key] - first[key];
    const slope = rise > 0 ? (second[at] - first[at]) / rise : 0;
    return { value: first[at] + slope * (wanted - first[key]), slope, key };
  }

  // Numbers with derivatives, {value, by}. One without a limit is Infinity.

  const ROOT = "the root of a negative number";
  const UNFIT = "values that do not fit together";
  const chain = (slope, part) => (part === 0 ? 0 : slope * part);

  function made(value, by) {
    if (!Number.isFinite(value)) fail("a number too large to reckon with");
    return { value: value + 0, by: by.map((part) => (Number.isFinite(part) ? part : Infinity)) };
  }

  const one = (a, value, slope) => made(value, a.by.map((part) => chain(slope, part)));
  const two = (a, b, value, slope, other) =>
    made(value, a.by.map((part, index) => chain(slope, part) + chain(other, b.by[index])));

  /** Small whole exponents are multiplied out: every machine gets the same digits. */
  function raised(base, exponent) {
    if (exponent % 1 !== 0 || Math.abs(exponent) > 1024) return Math.pow(base, exponent);
    let [product, square] = [1, base];
    for (let rest = Math.abs(exponent); rest >= 1; rest = Math.floor(rest / 2)) {
      if (rest % 2 === 1) product *= square;
      square *= square;
    }
    return exponent < 0 ? 1 / product : product;
  }

  function power(left, right) {
    const [base, exponent] = [left.value, right.value];
    if (base === 0 && exponent < 0) fail("zero to a negative power");
    if (base < 0 && exponent % 1 !== 0) fail(ROOT);
    const loose = (base < 0 || (base === 0 && exponent === 0)) && right.by.some((part) => part !== 0);
    if (loose) fail("a power that is measured, of a number that is not above zero");
    const value = raised(base, exponent);
    const slope = exponent === 0 ? 0 : exponent * raised(base, exponent - 1);
    return two(left, right, value, slope, base > 0 ? value * Math.log(base) : 0);
  }

  function angle(rise, run) {
    const length = Math.hypot(rise.value, run.value);
    if (length === 0) fail("the angle of two zeros");
    return two(rise, run, Math.atan2(rise.value, run.value), run.value / length / length, -(rise.value / length) / length);
  }

  function quotient(left, right) {
    if (right.value === 0) fail("a division by zero");
    const value = left.value / right.value;
    return two(left, right, value, 1 / right.value, -value / right.value);
  }

  const extreme = (numbers, better) => numbers.reduce((a, b) => (better(b.value, a.value) ? b : a));

  function away(x) {
    const whole = Math.trunc(x);
    return Math.abs(x - whole) >= 0.5 ? whole + Math.sign(x) : whole;
  }

  const above = (x) => (x > 0 ? x : fail("the logarithm of a number that is not above zero"));
  const arc = (x) => (Math.abs(x) <= 1 ? x : fail("the arc of a number outside \u22121 to 1"));
  const arcSlope = (x) => 1 / Math.sqrt((1 - x) * (1 + x));

  /** Of one number: value and slope. */
  const FUNCTIONS = {
    neg: (x) => [-x, -1],
    abs: (x) => [Math.abs(x), x < 0 ? -1 : 1],
    ceil: (x) => [Math.ceil(x), 0],
    floor: (x) => [Math.floor(x), 0],
    round: (x) => [away(x), 0],
    sqrt: (x) => (x < 0 ? fail(ROOT) : [Math.sqrt(x), 0.5 / Math.sqrt(x)]),
    exp: (x) => [Math.exp(x), Math.exp(x)],
    ln: (x) => [Math.log(above(x)), 1 / x],
    log10: (x) => [Math.log10(above(x)), 1 / (x * Math.LN10)],
    sin: (x) => [Math.sin(x), Math.cos(x)],
    cos: (x) => [Math.cos(x), -Math.sin(x)],
    tan: (x) => [Math.tan(x), 1 + Math.tan(x) * Math.tan(x)],
    asin: (x) => [Math.asin(arc(x)), arcSlope(x)],
    acos: (x) => [Math.acos(arc(x)), -arcSlope(x)],
    atan: (x) => [Math.atan(x), 1 / (1 + x * x)],
  };

  const OPERATORS = {
    "+": (a, b) => two(a, b, a.value + b.value, 1, 1),
    "-": (a, b) => two(a, b, a.value - b.value, 1, -1),
    "*": (a, b) => two(a, b, a.value * b.value, b.value, a.value),
    "/": quotient,
    "^": power,
    "<": (a, b) => ({ value: a.value < b.value }),
    "<=": (a, b) => ({ value: a.value <= b.value }),
    ">": (a, b) => ({ value: a.value > b.value }),
    ">=": (a, b) => ({ value: a.value >= b.value }),
    atan2: angle,
    min: (...numbers) => extreme(numbers, (a, b) => a < b),
    max: (...numbers) => extreme(numbers, (a, b) => a > b),
  };

  /** A refusal that travels is thrown as the answer that holds it. */
  function machine(plan, inputs, tables, bare) {
    const done = [];
    const numeric = plan.inputs.map((input, index) => index).filter((index) => !bare && plan.inputs[index][1] === "number");
    const flat = numeric.map(() => 0);

    function answer(at) {
      if ("reason" in done[at]) throw done[at];
      return done[at];
    }

    function typed(at, type) {
      const found = answer(at);
      return typeof found.value === type ? found : fail(UNFIT);
    }

    const truth = (at) => typed(at, "boolean").value;

    function input(index) {
      const [name, type] = plan.inputs[index];
      const value = inputs[name];
      if (value === undefined || value === null) fail("a missing value");
      if (type === "number" && Number.isFinite(value)) {
        return { value: value + 0, by: numeric.map((own) => (own === index ? 1 : 0)) };
      }
      return type === "text" && typeof value === "string" ? { value } : fail("a value that cannot be used");
    }

    function equal(left, right) {
      const [a, b] = [answer(left).value, answer(right).value];
      return typeof a === typeof b ? a === b : fail(UNFIT);
    }

    function lookup(name, column, keys) {
      const values = keys.map((at) => answer(at).value);
      if (values.some((value) => typeof value === "boolean")) fail(UNFIT);
      const table = tables[name] || fail("the table " + name + " is missing");
      if (values.length !== table.keys.length) fail(UNFIT);
      const found = find(table, column, values);
      if (typeof found.value === "string") return { value: found.value };
      return found.key < 0 ? { value: found.value, by: flat } : one(typed(keys[found.key], "number"), found.value, found.slope);
    }

    function perform([what, ...values]) {
      const [a, b, ...rest] = values;
      switch (what) {
        case "input": return input(a);
        case "number": return { value: a, by: flat };
        case "text": return { value: a };
        case "lookup": return lookup(a, b, rest);
        case "not": return { value: !truth(a) };
        case "if": return answer(truth(a) ? b : rest[0]);
        case "and": return { value: truth(a) && truth(b) };
        case "or": return { value: truth(a) || truth(b) };
        case "=":
        case "!=": return { value: equal(a, b) === (what === "=") };
      }
      const numbers = values.map((at) => typed(at, "number"));
      return FUNCTIONS[what] ? one(numbers[0], ...FUNCTIONS[what](numbers[0].value)) : OPERATORS[what](...numbers);
    }

    return function advance([step, at, end]) {
      while (done.length < end) {
        try {
          done.push(perform(plan.operations[done.length]));
        } catch (refusal) {
          if (refusal instanceof Error) throw refusal;
          const [what, index] = plan.operations[done.length];
          const begun = what === "input" ? plan.inputs[index][0] : step;
          done.push(typeof refusal === "string" ? { step: begun, reason: refusal } : refusal);
        }
      }
      return done[at];
    };
  }

  /** Runs a plan on inputs by name. Answers in its order: {value, by} for numbers, `by` for each numeric input; {value}
   *  for texts and truths; or {step, reason}. All in SI units. `bare`: values alone. */
  function run(plan, inputs, tables, bare) {
    if (plan.plan !== 1) throw new Error("the plan is of another version");
    const advance = machine(plan, inputs, tables, bare);
    return { steps: plan.steps.map(advance), checks: plan.checks.map(advance) };
  }

  // Roots: ITP (Oliveira and Takahashi, 2021) between points of an even look-over.

  function next(lower, upper, truncation, reach) {
    const width = upper.place - lower.place;
    const middle = lower.place + width / 2;
    const radius = Math.max(reach - width / 2, 0);
    const push = truncation * width * width;
    let falsi = (upper.value * lower.place - lower.value * upper.place) / (upper.value - lower.value);
    if (!Number.isFinite(falsi)) falsi = middle;
    const side = middle >= falsi ? 1 : -1;
    const pushed = push <= Math.abs(middle - falsi) ? falsi + side * push : middle;
    return Math.abs(pushed - middle) <= radius ? pushed : middle - side * radius;
  }

  function closeIn(at, lower, upper, near) {
    const largest = Math.max(lower.size, upper.size);
    const width = upper.place - lower.place;
    let reach = 2 * near;
    while (reach < width && reach > 0) reach *= 2;
    reach = Math.max(reach, width);
    for (; upper.place - lower.place > 2 * near; reach /= 2) {
      const place = next(lower, upper, 0.2 / width, reach);
      if (place <= lower.place || place >= upper.place) break;
      const point = at(place);
      if (!point) return null;
      if (point.value === 0) return place;
      if (point.value > 0 === lower.value > 0) lower = point; else upper = point;
    }
    const best = lower.size <= upper.size ? lower : upper;
    // Much is left where the function jumps.
    return best.size <= 1e-5 * largest ? best.place : null;
  }

  function lowest(at, left, middle, right) {
    const golden = (Math.sqrt(5) - 1) / 2;
    let [start, end, best] = [left.place, right.place, middle];
    let inner = [at(end - golden * (end - start)), at(start + golden * (end - start))];
    for (let step = 0; step < 60; step += 1) {
      for (const point of inner) if (point && point.size < best.size) best = point;
      const [first, second] = inner;
      if (!first || !second) break;
      if (first.size <= second.size) {
        end = second.place;
        inner = [at(end - golden * (end - start)), first];
      } else {
        start = first.place;
        inner = [second, at(start + golden * (end - start))];
      }
    }
    return best;
  }

  /** Where a function (null for no value) is zero: {at: [places]}, {nearest, value}, or {}. */
  function roots(valueAt, from, to, parts) {
    if (from > to) [from, to] = [to, from];
    parts = Math.max(1, parts);
    if (!Number.isFinite(to - from)) return {};
    const at = (place) => {
      const value = valueAt(place);
      return Number.isFinite(value) ? { place, value, size: Math.abs(value) } : null;
    };
    const points = [];
    for (let index = 0; index <= parts; index += 1) {
      points.push(at(index === parts ? to : from + (to - from) * (index / parts)));
    }
    const near = 1e-14 * Math.max(Math.abs(from), Math.abs(to));
    const known = points.filter(Boolean);
    const largest = Math.max(...known.map((point) => point.size));
    const zero = (point) => Boolean(point) && point.value === 0;
    const found = [];
    let [nearest] = known;
    const note = (point) => { if (point.size < nearest.size) nearest = point; };
    known.forEach(note);
    points.forEach((point, index) => {
      const [left, right] = [points[index - 1], points[index + 1]];
      if (zero(point) && !(zero(left) && zero(right))) found.push(point.place);
      if (!point || !right) return;
      const root = point.value * right.value < 0 ? closeIn(at, point, right, near) : null;
      if (root !== null) found.push(root);
      const alike = left && left.value * point.value > 0 && point.value * right.value > 0;
      if (!alike || point.size > left.size || point.size > right.size) return;
      const dip = lowest(at, left, point, right);
      note(dip);
      if (dip.size <= 1e-12 * largest) found.push(dip.place);
    });
    found.sort((a, b) => a - b);
    if (found.length) return { at: found.filter((place, index) => !(place - found[index - 1] <= 4 * near)) };
    return nearest ? { nearest: nearest.place, value: nearest.value } : {};
  }

  // Reading.

  const LETTER = /^\p{Alphabetic}/u;
  const WORDY = /^[\p{Alphabetic}\p{N}]/u;
  const RISE = /^(?:(?:(?:a +)?(?:rise|difference) +of|delta)(?!\p{Alphabetic})|[Δ\u2206])/iu;
  const PLUS_MINUS = /^(?:±|\+\/?[-\u2212]|plus +or +minus(?!\p{Alphabetic}))/iu;
  const RANGE = /^(?:–|\.{2,3}|…|to(?!\p{Alphabetic}))/iu;
  const UNIT = /^(?!(?:to|plus +or +minus)(?!\p{Alphabetic}))[\p{Alphabetic}°'"′″%]/iu;
  // Groups with commas, groups with spaces, or a decimal.
  const NUMBER = /^(?:([1-9][0-9]{0,2}(?:(?:,[0-9]{3}){2,}|,[0-9]{3}(?=\.[0-9]))(?![0-9])(?:\.[0-9]+)?)|[1-9][0-9]{0,2}(?: [0-9]{3}(?![0-9]|[/\u2044][0-9]))+(?:[.,][0-9]+)?|[0-9]*[.,]?[0-9]+)/;

  function canonical(text) {
    return text.replace(/''|["”″]/g, "\"").replace(/º/g, "°").replace(/\u2206/g, "Δ").normalize("NFKC")
      .replace(/ +/g, " ").trim()
      .replace(/( ?([·⋅*×]|[.-](?=\p{Alphabetic})) ?)+/gu, "·")
      .replace(/ ?[/\u2044] ?/g, "/")
      .replace(/\^(?=[2-4])/g, "");
  }

  function unitTable(rows) {
    const units = new Map();
    for (const [symbol, kind, factor, offset, ...spellings] of rows) {
      const unit = { symbol, kind, factor, offset };
      for (const spelling of [symbol, ...spellings]) {
        const key = canonical(spelling);
        for (const way of [key, key.replace(/·/g, " "), key.replace(/·/g, ""), key.replace(/ /g, "·")]) units.set(way, unit);
      }
    }
    return units;
  }

  function ends(last, rest) {
    const [first = "", ...others] = rest;
    const second = others.find((letter) => letter !== " ") || "";
    if (/^[/\u2044]/.test(first)) return /[-+\u22120]/.test(second);
    if (first === "." && last === ".") return false;
    if (/^[.-]/.test(first)) return !LETTER.test(second);
    return !/^[·⋅*×^_°²³⁴⁻]/.test(first) && !((WORDY.test(last) || "°²³⁴¹.)".includes(last)) && WORDY.test(first));
  }

  function fraction(front, top, bottom) {
    const part = Number(top) / Number(bottom);
    const odd = top.length > 4 || bottom.length > 4 || !(part < (front ? 1 : Infinity));
    if (odd || (BigInt(top) * ten(14)) % BigInt(bottom) !== 0n) fail("this fraction has no decimal value");
    return Number(front) + part;
  }

  function digits(written, grouped) {
    const plain = grouped ? written.replace(/,/g, "") : written.replace(/ /g, "").replace(",", ".");
    if (/^[1-9][0-9]{0,2},[0-9]{3}$/.test(written)) {
      fail("a comma before three digits may mean a thousand or a decimal: write " + written.replace(",", "") + " or " + plain);
    }
    const [front, back = ""] = plain.split(".");
    if ((front + back).replace(/^0+/, "").length > 15 || back.length > 15) fail("this number has too many digits");
    return Number(plain);
  }

  function reader(text, units) {
    let at = 0;
    const rest = () => text.slice(at);
    const skip = () => match(/^ */);

    function taken(wanted) {
      const found = wanted.exec(rest()) || [""];
      at += found[0].length;
      return found;
    }

    const match = (wanted) => taken(wanted)[0];

    function number() {
      const sign = match(/^[-\u2212]/) ? -1 : 1;
      if (sign > 0) match(/^\+/);
      const [written, grouped] = taken(NUMBER);
      if (!written) fail("a number is expected here");
      if (/^([.,]|[eE][-+\u2212]?)[0-9]/.test(rest())) fail("this number cannot be read");
      const [part, top, bottom] = /^[0-9]+$/.test(written) ? taken(/^(?: ([0-9]+))?[/\u2044]([0-9]+)/) : [""];
      if (!part) return sign * digits(written, grouped);
      return sign * (top ? fraction(written, top, bottom) : fraction("", written, bottom));
    }

    function unit() {
      if (/^[0-9 ]/.test(rest())) return null;
      const letters = Array.from(rest());
      for (let length = Math.min(48, letters.length); length > 0; length -= 1) {
        const typed = letters.slice(0, length).join("");
        const last = letters[length - 1];
        const found = last !== " " && ends(last, letters.slice(length)) && units.get(canonical(typed));
        if (found) { at += typed.length; return found; }
      }
      return null;
    }

    function amount() {
      skip();
      const value = number();
      const behind = at;
      skip();
      const found = unit();
      if (!found) {
        if (UNIT.test(rest())) fail("no such unit is known");
        at = behind;
      }
      return { value, unit: found };
    }

    function tail() {
      const spaced = skip();
      if (match(PLUS_MINUS)) return { form: "plus-minus", second: amount() };
      // A hyphen joins a range, `20-25` or `20 - 25`; in `18 -0.1` it is a sign.
      if (match(RANGE) || match(spaced ? /^[-\u2212](?= )/ : /^[-\u2212](?! )/)) return { form: "range", second: amount() };
      return { form: "single" };
    }

    return { match, amount, tail, skip, rest };
  }

  function difference(unit, units) {
    if (unit.kind === "temperature difference") return unit;
    return units.get("Δ" + unit.symbol) || fail(UNLIKE);
  }

  const UNLIKE = "units of different kinds";

  function deviation(nominal, { value, unit }, own) {
    if (value < 0) fail("a tolerance below zero");
    if (!unit || unit === own) return value;
    if (unit.symbol === "%" && own.kind !== "ratio" && own.kind !== "temperature") return value * unit.factor * Math.abs(nominal);
    // A difference in kelvins goes with a temperature.
    if (unit.kind.slice(0, 11) !== own.kind.slice(0, 11)) fail(UNLIKE);
    return value * (unit.factor / own.factor);
  }

  function quantity(text, units, standIn) {
    if (text.length > 200) fail("a quantity has at most 200 characters");
    // ½ is 1/2, and 1½ is 1 1/2.
    text = text.trim().replace(/[\t\u00A0\u2007\u2009\u202F]/g, " ")
      .replace(/([0-9]?) ?([¼-¾⅐⅓-⅞])/g, (all, digit, glyph) => digit + (digit && " ") + glyph.normalize("NFKD"));
    if (text === "") fail("a quantity is missing");
    const here = reader(text, units);
    const rise = here.match(RISE);
    const first = here.amount();
    const { form, second } = here.tail();
    here.skip();
    if (here.rest() !== "") fail("this does not belong to the quantity: " + here.rest());
    const later = second && (form === "range" || (second.unit && second.unit.symbol !== "%")) ? second.unit : null;
    let unit = first.unit || later || units.get(canonical(standIn || "")) || fail("a unit is missing");
    if (rise) unit = difference(unit, units);
    const si = (value) => value * unit.factor + unit.offset;
    const read = { form, unit: unit.symbol, kind: unit.kind, value: null, low: null, high: null };
    if (form === "range") {
      const end = second.unit && rise ? difference(second.unit, units) : second.unit || unit;
      if (end.kind !== unit.kind) fail(UNLIKE);
      read.low = si(first.value);
      read.high = second.value * end.factor + end.offset;
      if (read.low > read.high) fail("the lower limit is above the upper");
      return read;
    }
    read.value = si(first.value);
    if (form === "plus-minus") {
      const off = deviation(first.value, second, unit);
      read.low = si(first.value - off);
      read.high = si(first.value + off);
    }
    return read;
  }

  /** {form, unit, kind, value, low, high} in SI units, or {reason}. `standIn` is the unit beside the box. */
  function read(text, units, standIn) {
    try {
      return quantity(text, units, standIn);
    } catch (reason) {
      if (reason instanceof Error) throw reason;
      return { reason };
    }
  }

  Fettlebook.reckon = { run, roots, read, unitTable, round, significant };
})(globalThis);
