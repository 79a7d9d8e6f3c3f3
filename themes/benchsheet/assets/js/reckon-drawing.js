// A calculator's other drawings with the reader's values: tolerance zones, and bolts in their order of tightening. Places,
// order and words follow src/calculator/drawing; only calculators that have a drawing load this.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { reckonSheet, reckonPaper, calculator: data } = Fettlebook;
  if (!reckonSheet || Fettlebook.reckonDrawing) return;
  const { inputOf, stepAt, plain } = reckonSheet;
  const { svg, ruled, table } = reckonPaper;
  const { make } = Fettlebook.sheet;

  function paper(width, height, name, kind) {
    const own = svg("svg", { viewBox: "0 0 " + width + " " + height, class: kind, role: "img", "font-family": "sans-serif", "font-size": 14, fill: "currentColor" });
    own.append(svg("title", {}, name));
    return own;
  }

  /** The value of an input or a step: a number, a text, or undefined. */
  function valueOf(run, settled, id) {
    const at = stepAt(id);
    return at < 0 ? (settled[id] || {}).value : run.steps[at].value;
  }

  const unitOf = (id) => (stepAt(id) < 0 ? inputOf(id).unit : data.steps[stepAt(id)].unit);

  // ---- Zones. ----

  const [WIDTH, HEIGHT, LEFT, TOP, BOTTOM] = [480, 250, 60, 44, 14];

  function zones(drawing, run, settled) {
    const unit = unitOf(drawing.zones[0].low);
    const off = (id) => {
      const value = id ? valueOf(run, settled, id) : undefined;
      return Number.isFinite(value) ? (value - unit[3]) / unit[2] : null;
    };
    const found = drawing.zones.map((zone) => ({
      name: [zone.name, zone.class && valueOf(run, settled, zone.class)].filter(Boolean).join(" "),
      low: off(zone.low), high: off(zone.high), measured: off(zone.measured),
    })).filter((zone) => zone.low !== null && zone.high !== null);
    if (!found.length) return null;
    const whole = (value) => (value === null ? "" : (value > 0 ? "+" : "") + plain(value, unit));
    const signed = (value) => whole(value).replace(unit[5], "");
    const rows = found.map((zone) => [zone.name, whole(zone.high), whole(zone.low), whole(zone.measured)]);
    return [zonesPaper(drawing.name, found, signed, unit), table(["", "Upper deviation", "Lower deviation", "Measured"], rows)];
  }

  function zonesPaper(name, found, signed, unit) {
    const ends = found.flatMap((zone) => [zone.low, zone.high, zone.measured]).filter((end) => end !== null).concat(0);
    const rules = ruled(Math.min(...ends), Math.max(...ends), true);
    const [low, high] = [rules[0][0], rules[rules.length - 1][0]];
    const y = (value) => HEIGHT - BOTTOM - (value - low) / (high - low) * (HEIGHT - TOP - BOTTOM);
    const own = paper(WIDTH, HEIGHT, name, "zones");
    const path = (d, attributes) => own.append(svg("path", Object.assign({ d, stroke: "currentColor" }, attributes)));
    const text = (words, x, at, anchor) => own.append(svg("text", { x, y: at, "text-anchor": anchor }, words));
    for (const [mark, words] of rules) {
      path("M" + LEFT + " " + y(mark) + "H" + WIDTH, { "stroke-opacity": 0.25 });
      text(words, LEFT - 8, y(mark) + 5, "end");
    }
    path("M" + LEFT + " " + y(0) + "H" + WIDTH, { "stroke-width": 2 });
    text(unit[0], 0, 16, "start");
    const room = (WIDTH - LEFT) / found.length;
    found.forEach((zone, index) => {
      const middle = LEFT + room * (index + 0.5);
      const [left, right] = [middle - room * 0.21, middle + room * 0.21];
      text(zone.name, middle, 16, "middle");
      own.append(svg("rect", { class: "zone", x: left, y: y(zone.high), width: right - left, height: Math.max(0, y(zone.low) - y(zone.high)), "fill-opacity": 0.18, stroke: "currentColor", "stroke-width": 2 }));
      text(signed(zone.high), right + 6, y(zone.high) + 1, "start");
      text(signed(zone.low), right + 6, y(zone.low) + 9, "start");
      if (zone.measured === null) return;
      path("M" + left + " " + y(zone.measured) + "l-9 -6v12zH" + right, { class: "zone-mark", "stroke-width": 2 });
      text(signed(zone.measured), left - 12, y(zone.measured) + 5, "end");
    });
    return own;
  }

  // ---- Bolts. ----

  /** Bolts of a circle in the order of tightening, the first 0. */
  function order(count) {
    if (count % 2) return Array.from({ length: count }, (none, turn) => turn * ((count - 1) / 2) % count);
    const half = count / 2;
    const apart = (one, other) => Math.min(Math.abs(one - other), half - Math.abs(one - other));
    const pairs = [0];
    while (pairs.length < half) {
      const rank = (pair) => [Math.min(...pairs.map((done) => apart(pair, done))), apart(pair, pairs[pairs.length - 1])];
      let [best, most] = [-1, [-1, -1]];
      for (let pair = 0; pair < half; pair += 1) {
        const own = rank(pair);
        if (!pairs.includes(pair) && (own[0] > most[0] || (own[0] === most[0] && own[1] > most[1]))) [best, most] = [pair, own];
      }
      pairs.push(best);
    }
    return pairs.flatMap((pair) => [pair, pair + half]);
  }

  function bolts(drawing, run, settled) {
    const count = Math.round(valueOf(run, settled, drawing.bolts));
    if (!(count >= 2 && count <= 48)) return null;
    const first = (drawing.first && valueOf(run, settled, drawing.first)) || 0;
    const circle = drawing.circle && valueOf(run, settled, drawing.circle);
    const [radius, height] = count > 16 ? [9, 11] : count > 10 ? [15, 16] : [22, 24];
    const out = 156 - radius;
    const own = paper(320, 320, drawing.name, "bolts");
    own.append(svg("circle", { cx: 160, cy: 160, r: out, fill: "none", stroke: "currentColor", "stroke-dasharray": "22 5 4 5" }));
    own.append(svg("path", { d: "M154 160h12M160 154v12", stroke: "currentColor" }));
    const rows = order(count).map((bolt, turn) => {
      const angle = first + 2 * Math.PI * bolt / count;
      const [x, y] = [Math.cos(angle), Math.sin(angle)].map((share) => (Math.abs(share) < 1e-12 ? 0 : share));
      own.append(svg("circle", { class: "bolt", cx: 160 + out * x, cy: 160 - out * y, r: radius, fill: "none", stroke: "currentColor", "stroke-width": 2 }));
      own.append(svg("text", { x: 160 + out * x, y: 160 - out * y + height * 0.36, "text-anchor": "middle", "font-size": height, "font-weight": 700 }, String(turn + 1)));
      own.append(svg("text", { x: 160 + out * 0.72 * x, y: 165 - out * 0.72 * y, "text-anchor": "middle" }, "hole " + (bolt + 1)));
      const unit = circle && unitOf(drawing.circle);
      const at = (share) => plain(share * circle / 2 / unit[2], unit);
      return [String(turn + 1), String(bolt + 1)].concat(circle ? [at(x), at(y)] : []);
    });
    return [own, table(["Turn", "Hole"].concat(circle ? ["Across", "Up"] : []), rows)];
  }

  /** A drawing with the values of a run, or null. */
  Fettlebook.reckonDrawing = (drawing, run, settled) => {
    const drawn = (drawing.zones ? zones : bolts)(drawing, run, settled);
    return drawn && make("figure", { class: "curve" }, ...drawn);
  };
  Fettlebook.reckonDrawing.order = order;
})(window);
