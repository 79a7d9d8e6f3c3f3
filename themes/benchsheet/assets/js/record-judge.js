// Judges a measured value against the limits of its figure, in exact decimals: inside, at the edge or outside, by the
// decision rule of ISO 14253-1. It knows no page; tests/record.rs runs it without one.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const R = Fettlebook.reckon;
  if (!R || Fettlebook.judge) return;
  const NOISE = 12; // significant digits of a double that are trusted: nobody measures more
  const FACTOR_DIGITS = 15; // of a unit's factor: those of inches and feet have fewer
  const MOST_PLACES = 12;
  const FEWEST_DIGITS = 3; // with fewer, a number without its point is not told from a whole one
  const MINUS = "\u2212";
  let units = null;

  /** The unit table, read once. */
  function table() {
    if (!units) units = R.unitTable(Fettlebook.units);
    return units;
  }

  const unitOf = (symbol) => Fettlebook.units.find((row) => row[0] === symbol);

  // ---- Exact decimals as ratios, [top, bottom] with a bottom above zero. ----

  function ratio(plain) {
    const [front, back = ""] = plain.split(".");
    return [BigInt(front + back), 10n ** BigInt(back.length)];
  }

  const clean = (value) => ratio(R.significant(value, NOISE).plain);
  const factor = (value) => ratio(R.significant(value, FACTOR_DIGITS).plain);
  const minus = ([a, b], [c, d]) => [a * d - c * b, b * d];
  const plus = ([a, b], [c, d]) => [a * d + c * b, b * d];
  const times = ([a, b], [c, d]) => [a * c, b * d];
  const over = ([a, b], [c, d]) => (c < 0n ? [-a * d, -b * c] : [a * d, b * c]);
  const below = (one, other) => minus(one, other)[0] < 0n;
  const size = ([a, b]) => [a < 0n ? -a : a, b];
  const placesOf = (plain) => (plain.split(".")[1] || "").length;

  /** As many decimals as it has. */
  const trimmed = (value) => R.round(value, MOST_PLACES).plain.replace(/0+$/, "").replace(/\.$/, "");

  /** The decimals that were typed. */
  const typedPlaces = (text) => (/[.,](\d+)/.exec(text) || ["", ""])[1].length;
  const FRACTION = /[/\u2044¼-⅞]/;

  /** As people read it, to so many places, and to more where it would be shown as nothing. */
  function shown(value, places) {
    let text = R.round(value, places).shown;
    for (let more = places + 1; value[0] !== 0n && !/[1-9]/.test(text) && more <= MOST_PLACES; more += 1) text = R.round(value, more).shown;
    return text;
  }

  /** A value in SI units as it is in a unit, exact where both units are. */
  function inUnit(si, symbol) {
    const [, , factor, offset] = unitOf(symbol);
    return clean((si - offset) / factor);
  }

  /** What was read, in the unit of the limits. Inches are exactly 25.4 mm: the factors are taken as written. */
  function converted(read, symbol) {
    const own = inUnit(read.value, read.unit);
    if (read.unit === symbol) return own;
    const [, , from, fromOffset] = unitOf(read.unit);
    const [, , to, toOffset] = unitOf(symbol);
    return over(minus(plus(times(own, factor(from)), factor(fromOffset)), factor(toOffset)), factor(to));
  }

  // ---- Reading. ----

  /** Whether a value lies within the limits or no further from them than they are apart. */
  function isLikely(value, { lower, upper }) {
    const band = lower && upper ? size(minus(upper, lower)) : size(lower || upper);
    return !(lower && below(value, minus(lower, band))) && !(upper && below(plus(upper, band), value));
  }

  /** Reads a text; a comma before three digits is taken for what alone lies near the limits. */
  function readNear(text, standIn, limits, symbol) {
    const read = R.read(text, table(), standIn);
    const comma = /,(?=\d{3}(?!\d))/g;
    if (!read.reason || !comma.test(text) || !(limits.lower || limits.upper)) return read;
    const ways = [".", ""].map((sign) => R.read(text.replace(comma, sign), table(), standIn));
    const likely = ways.filter((way) => !way.reason && way.value !== null && isLikely(converted(way, symbol), limits));
    return likely.length === 1 ? likely[0] : read;
  }

  /** A number typed without its point: what it is with one, if that alone lies within the limits; else "". */
  function meant(text, { lower, upper }) {
    if (!/^\d+$/.test(text) || text.length < FEWEST_DIGITS || !lower || !upper) return "";
    for (let places = 1; places < text.length; places += 1) {
      const plain = text.slice(0, -places) + "." + text.slice(-places);
      const value = ratio(plain);
      if (!below(value, lower) && !below(upper, value)) return plain.replace(/^0+(?=\d)/, "");
    }
    return "";
  }

  /** An uncertainty as typed, in the unit of the limits: {value}, {wrong} or {} for none. */
  function spread(text, symbol) {
    if (!text.trim()) return {};
    const read = R.read(text.replace(/^\s*±/, ""), table(), symbol);
    if (read.reason) return { wrong: read.reason };
    // A difference of temperatures has a unit of its own kind.
    if (read.value === null || read.kind.split(" ")[0] !== unitOf(symbol)[1].split(" ")[0]) return { wrong: "an uncertainty in " + symbol + " is wanted" };
    const value = over(clean(read.value - unitOf(read.unit)[3]), clean(unitOf(symbol)[2]));
    if (value[0] < 0n) return { wrong: "an uncertainty is not below zero" };
    return value[0] === 0n ? {} : { value };
  }

  // ---- Judging. ----

  /**
   * Judges what was typed. `box`: lower and upper (plain decimals or ""), unit, stated, and standIn, the unit beside the
   * box; `uncertainty` as typed, or "". Gives one of
   *   {}                    nothing was typed
   *   {wrong}               it cannot be read, and why
   *   {meant}               a number without its point
   *   {verdict, …}          "inside", "edge", "outside", or "read" where there are no limits; with `value` (plain, in
   *                         the unit of the limits), `off` (plain: how far beyond a limit the reading lies, or ""),
   *                         `reading` (what was read, where that is not what was typed), and `says`.
   */
  function judge(typed, box, uncertainty) {
    const text = typed.trim();
    if (!text) return {};
    const limits = { lower: box.lower ? ratio(box.lower) : null, upper: box.upper ? ratio(box.upper) : null };
    const standIn = box.standIn || box.unit;
    const read = readNear(text, standIn, limits, box.unit);
    if (read.reason) return { wrong: read.reason };
    const kind = unitOf(box.unit)[1];
    if (read.kind !== kind) return { wrong: "this is a " + read.kind + ", but a " + kind + " is wanted" };
    if (read.value === null) return { wrong: "one value is wanted" };
    const value = converted(read, box.unit);
    const isOutside = (limits.lower && below(value, limits.lower)) || (limits.upper && below(limits.upper, value));
    const point = isOutside && standIn === box.unit ? meant(text, limits) : "";
    if (point) return { meant: point };
    const stated = spread(uncertainty || "", box.unit);
    if (stated.wrong) return { wrong: "uncertainty: " + stated.wrong };
    const own = read.form === "plus-minus" ? over(clean(read.high - read.value), clean(unitOf(box.unit)[2])) : stated.value;
    return verdict({ text, read, value, limits, box, own });
  }

  function verdict({ text, read, value, limits, box, own }) {
    const { lower, upper } = limits;
    const isSame = read.unit === box.unit;
    const bounds = Math.max(placesOf(box.lower || ""), placesOf(box.upper || ""));
    const asTyped = isSame && !FRACTION.test(text);
    const places = isSame ? Math.max(bounds, typedPlaces(text)) : bounds + 1;
    const behind = box.unit === "1" ? "" : "\u00A0" + box.unit;
    const found = {
      value: asTyped ? R.round(value, typedPlaces(text)).plain : trimmed(ratio(R.round(value, places + 4).plain)),
      uncertainty: own ? trimmed(own) : "",
      off: "",
      reading: asTyped && !text.includes(",") ? "" : R.round(value, asTyped ? typedPlaces(text) : places).shown + behind,
    };
    if (!lower && !upper) return Object.assign(found, { verdict: "read", says: "no limits are declared for it" });
    const short = lower && below(value, lower) ? minus(lower, value) : null;
    const long = upper && below(upper, value) ? minus(value, upper) : null;
    const off = short || long;
    const room = [lower && minus(value, lower), upper && minus(upper, value)].filter(Boolean).reduce((a, b) => (below(b, a) ? b : a));
    const doubt = own && below(size(room), own);
    if (off) found.off = trimmed(off);
    const amount = off && shown(off, places) + (short ? " too small" : " too large");
    const bound = off && (short ? box.lower + " least" : box.upper + " most").replace(/^-/, MINUS);
    if (own && (doubt || (off && !below(own, off)))) {
      const within = shown(own, Math.max(places, Math.min(placesOf(found.uncertainty), places + 2)));
      const where = off ? "the reading is " + amount : room[0] === 0n ? "on the limit" : shown(room, places) + " to spare";
      return Object.assign(found, { verdict: "edge", says: "at the edge: " + where + ", within the uncertainty of " + within });
    }
    if (off) return Object.assign(found, { verdict: "outside", amount, says: "outside " + bound + ", " + amount });
    if (room[0] === 0n) return Object.assign(found, { verdict: "inside", says: "inside, on the limit" });
    const within = /^\d|^[-\u2212]/.test(box.stated) ? " " + box.stated : ", " + box.stated;
    return Object.assign(found, { verdict: "inside", says: "inside" + within + " (" + shown(room, places) + " to spare)" });
  }

  /** The difference of two values as judged, hole less shaft, in words: "3 µm tight". */
  function between(hole, shaft, symbol) {
    const gap = over(times(minus(ratio(hole), ratio(shaft)), clean(unitOf(symbol)[2])), clean(unitOf("µm")[2]));
    return shown(size(gap), 0).replace(/^0\..*/, "0") + "\u00A0µm " + (gap[0] < 0n ? "tight" : "clear");
  }

  const RULE = "ISO 14253-1: with an uncertainty U (k = 2), inside means within the limits by U or more, outside means beyond them by more than U, and at the edge lies between. Without U the reading is compared as it stands.";

  Fettlebook.judge = { judge, between, RULE };
})(globalThis);
