// Stands in for the engine that answers questions, so that what a reader sees can be tried without its data. What the page
// asked is kept in `asked`. Some questions have answers of their own: see `special`.
(() => {
  const torque = (machines, value, imperial, place) => ({
    family: "torque", id: "torque:fit/" + place, title: "coupling nut", machines, current: true, score: 9, address: "torques.html#fit-splined-hub." + place,
    text: value + "; oiled; DC-203; J-01 step 9; Measured on the bench, checked 2026-03-14",
    units: { kind: "torque", metric: value, imperial },
  });
  const other = (family, id, title, text, current) => ({ family, id, title, text, address: "parts.html", machines: "", current: current !== false, score: 1 });
  const ALL = [
    Object.assign(torque("Smewick 16", "180 ± 10 N·m", "133 lbf·ft (126–140)", "tq-01"), { choice: "smewick-16" }),
    Object.assign(torque("Smewick 20", "260 ± 15 N·m", "192 lbf·ft (181–202)", "tq-02"), { choice: "smewick-20" }),
    other("fit", "fit:a", "hub bore on gear shaft", "hole 28.000–28.021 mm shaft 28.002–28.015 mm 0–5 µm tight; DC-201; J-01 step 4"),
    other("sum", "sum:a", "Clamp from the coupling nut", "Preload 60.0 kN; Share of the proof load 37 %"),
    other("part", "part:DC-203", "coupling nut, slotted, M20×1.5", "DC-203 Takes the tab washer DC-205. Not interchangeable with DC-204."),
    other("part", "part:DC-199", "coupling nut, plain, M20×1.5", "DC-199 Superseded. Use DC-203 coupling nut, slotted.", false),
    other("job", "job:a", "Fit the splined coupling hub to the gear shaft", "Hand fit the hub, pull it up with the nut, tighten and lock it."),
    other("tool", "tool:tl-05", "hook spanner for the coupling nut", "For the slotted nut."),
    other("film", "film:v1", "Fitting the splined hub", ""),
  ];
  const NOTICE = { family: "notice", id: "notice:hz-03", title: "Fuel through the skin", machines: "", current: true, score: 9, address: "notices.html#hz-03", signal: "danger",
    text: "Diesel under the skin destroys the hand, and it may not hurt at first. Go to hospital at once even if it does not hurt." };
  const BULLETIN = { family: "bulletin", id: "bulletin:n07", title: "Coupling nut figure corrected", machines: "Smewick 16", current: true, score: 9,
    address: "bulletin-notice-07-coupling-nut.html", text: "160 N·m is withdrawn (issues 1 to 3); now 180 N·m ± 10 N·m." };

  function answer(answers, more) {
    const counts = new Map();
    for (const one of answers) counts.set(one.family, (counts.get(one.family) || 0) + 1);
    return Object.assign({ answers, hidden: 0, families: Array.from(counts), meant: [], stems: ["nut"] }, more);
  }

  function special(text) {
    if (text === "zzqx") return answer([]);
    if (text === "diesel hand") return answer([NOTICE, BULLETIN], { stems: ["diesel", "hand"] });
    if (text.includes("<")) {
      return answer([Object.assign({}, ALL[4], { title: text, text, id: text, machines: text, address: "javascript:alert(1)" }),
        Object.assign({}, ALL[0], { title: text, text, family: text, units: undefined }), Object.assign({}, NOTICE, { title: text, text, signal: text })], { meant: [[text, text]] });
    }
    return null;
  }

  function normal(text, wishes) {
    const mine = ALL.filter((one) => !one.choice || !wishes.choices.length || wishes.choices.includes(one.choice));
    const found = answer(mine, { hidden: ALL.length - mine.length, meant: text.includes("torqe") ? [["torqe", "torque"]] : [] });
    return Object.assign(found, { answers: mine.filter((one) => !wishes.family || one.family === wishes.family) });
  }

  window.asked = [];
  function ask(text, wishes) {
    window.asked.push([text, wishes]);
    if (text === "broken") return Promise.reject(new Error("no data"));
    const found = special(text) || normal(text, wishes);
    if (text !== "slow") return Promise.resolve(found);
    return new Promise((resolve) => { window.answerSlowly = () => resolve(answer([Object.assign({}, ALL[6], { title: "too late" })])); });
  }

  const Fettlebook = window.Fettlebook = window.Fettlebook || {};
  Object.defineProperty(Fettlebook, "find", { get: () => ({ ask }), set() {} });
  Object.defineProperty(Fettlebook, "findWords", { get: () => ({ stem: (word) => word.replace(/s$/, "") }), set() {} });
})();
