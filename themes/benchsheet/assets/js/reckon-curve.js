// A calculator's curves with the reader's values, drawn on the same paper as the static ones. No style is written, only
// presentation attributes, as the pages' content-security policy has it.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const { reckonSheet, calculator: data } = Fettlebook;
  if (!reckonSheet || Fettlebook.reckonCurve) return;
  const document = window.document;
  const { runWith, holds, inputOf, stepAt, plain } = reckonSheet;
  const { make } = Fettlebook.sheet;

  const [WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM] = [640, 400, 76, 16, 34, 52];

  function svg(tag, attributes, text) {
    const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    if (text) element.textContent = text;
    return element;
  }

  /** Round values that a paper from `low` to `high` is ruled at, about five; also those just outside if `around`. */
  function ruled(low, high, around) {
    const rough = (high - low) / 5;
    const size = 10 ** Math.floor(Math.log10(rough));
    const step = [1, 2, 5, 10].map((factor) => factor * size).find((own) => own >= rough);
    const places = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    const marks = [];
    const [first, last] = around ? [Math.floor(low / step), Math.ceil(high / step)] : [Math.ceil(low / step - 1e-9), Math.floor(high / step + 1e-9)];
    for (let mark = first; mark <= last; mark += 1) {
      marks.push([mark * step, (mark * step).toFixed(places).replace("-", "\u2212")]);
    }
    return marks;
  }

  /** The table behind a picture. */
  function table(heads, rows) {
    const row = (cells, tag) => make("tr", {}, ...cells.map((cell) => make(tag, {}, cell)));
    const body = make("tbody", {}, ...rows.map((cells) => row(cells, "td")));
    return make("details", { class: "curve-values" }, make("summary", {}, "Values"), make("table", {}, make("thead", {}, row(heads, "th")), body));
  }

  function curve(plot, settled) {
    const at = stepAt(plot.y);
    const [xUnit, yUnit] = [plot.unit, data.steps[at].unit];
    const across = (value) => (value - xUnit[3]) / xUnit[2];
    const up = (value) => (value - yUnit[3]) / yUnit[2];
    const height = (x) => {
      const run = runWith(settled, { [plot.x]: x });
      return holds(run) && Number.isFinite(run.steps[at].value) ? up(run.steps[at].value) : null;
    };
    const points = Array.from({ length: 61 }, (none, index) => plot.from + (plot.to - plot.from) * index / 60).map((x) => [across(x), height(x)]);
    const own = settled[plot.x] && [across(settled[plot.x].value), height(settled[plot.x].value)];
    const run = runWith(settled);
    const level = (of) => (typeof of === "number" ? of : stepAt(of) < 0 ? (settled[of] || {}).value : run.steps[stepAt(of)].value);
    const levels = plot.lines.map(([name, of]) => [name, up(level(of))]).filter(([, y]) => Number.isFinite(y));
    const heights = points.concat(own ? [own] : []).map(([, y]) => y).filter((y) => y !== null).concat(levels.map(([, y]) => y));
    const [low, high] = [Math.min(...heights), Math.max(...heights)];
    return low < high ? draw(plot, { points, own, levels, low, high, left: across(plot.from), right: across(plot.to), at }) : null;
  }

  function draw(plot, { points, own, levels, low, high, left, right, at }) {
    const step = data.steps[at];
    const paper = svg("svg", { viewBox: "0 0 640 400", class: "plot", role: "img", "font-family": "sans-serif", "font-size": 14, fill: "currentColor" });
    const x = (value) => LEFT + (value - left) / (right - left) * (WIDTH - LEFT - RIGHT);
    const y = (value) => HEIGHT - BOTTOM - (value - low) / (high - low) * (HEIGHT - TOP - BOTTOM);
    const line = (path, attributes) => paper.append(svg("path", Object.assign({ d: path, fill: "none", stroke: "currentColor" }, attributes)));
    const text = (words, place, end) => paper.append(svg("text", Object.assign({ "text-anchor": end }, place), words));
    const title = (name, unit) => name + (unit[5].trim() && ", " + unit[5].trim());
    paper.append(svg("title", {}, plot.name || step.name));
    for (const [mark, words] of ruled(low, high)) {
      line("M" + LEFT + " " + y(mark) + "H" + (WIDTH - RIGHT), { "stroke-opacity": 0.25 });
      text(words, { x: LEFT - 8, y: y(mark) + 5 }, "end");
    }
    for (const [mark, words] of ruled(left, right)) {
      line("M" + x(mark) + " " + TOP + "V" + (HEIGHT - BOTTOM), { "stroke-opacity": 0.25 });
      text(words, { x: x(mark), y: HEIGHT - BOTTOM + 20 }, "middle");
    }
    line("M" + LEFT + " " + TOP + "V" + (HEIGHT - BOTTOM) + "H" + (WIDTH - RIGHT), { "stroke-width": 1.5 });
    text(title(step.name, step.unit), { x: LEFT, y: TOP - 14 }, "start");
    text(title(inputOf(plot.x).name, plot.unit), { x: WIDTH - RIGHT, y: HEIGHT - 10 }, "end");
    for (const [name, value] of levels) {
      line("M" + LEFT + " " + y(value) + "H" + (WIDTH - RIGHT), { "stroke-dasharray": "8 4", "stroke-width": 1.5 });
      text(name, { x: WIDTH - RIGHT - 4, y: y(value) + (y(value) < TOP + 20 ? 16 : -5) }, "end");
    }
    let down = false;
    const path = points.map(([px, py]) => {
      const part = py === null ? "" : (down ? "L" : "M") + x(px).toFixed(2) + " " + y(py).toFixed(2);
      down = py !== null;
      return part;
    });
    line(path.join(""), { "stroke-width": 2.5 });
    if (own && own[1] !== null && own[0] >= left && own[0] <= right) paper.append(svg("circle", { cx: x(own[0]), cy: y(own[1]), r: 6 }));
    const rows = points.filter((point, index) => index % 10 === 0).map(([px, py]) => [plain(px, plot.unit), py === null ? "\u2013" : plain(py, step.unit)]);
    return make("figure", { class: "curve" }, paper, table([inputOf(plot.x).name, step.name], rows));
  }

  Fettlebook.reckonPaper = { svg, ruled, table };
  Fettlebook.reckonCurve = curve;
})(window);
