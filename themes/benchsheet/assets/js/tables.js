// Tables of figures and stores: show only rows that hold every typed word, and put them in the order of a column.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const { make, hide } = Fettlebook.sheet;
  const PAUSE = 400; // ms without typing before the count is spoken

  /** For comparing what people type: lower case, no accents, × as x, one kind of dash, units without their dot. */
  function plain(text) {
    return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase()
      .replace(/×/g, "x").replace(/[‐‑–−]/g, "-").replace(/[·⋅]/g, "").replace(/\s+/g, " ").trim();
  }

  /** Without blanks and dashes, the letter O as nought and I and L as one: "dc 2o3" and DC-203 are the same. */
  function tightened(text) {
    return text.replace(/[\s-]/g, "").replace(/o/g, "0").replace(/[il]/g, "1");
  }

  function bodyRows(table) {
    return Array.from(table.tBodies[0].rows);
  }

  function filter(rows, typed) {
    const words = plain(typed).split(" ").filter(Boolean);
    const whole = tightened(words.join(""));
    for (const { row, text, tight } of rows) {
      const holds = (word) => text.includes(word) || (/\d/.test(word) && tight.includes(tightened(word)));
      const shows = words.every(holds) || (/\d/.test(whole) && tight.includes(whole));
      hide(row, "words", !shows);
    }
  }

  function tools(table) {
    const what = table.dataset.what || "rows";
    const id = table.id + "-words";
    const rows = bodyRows(table).map((row) => {
      const text = plain(Array.from(row.cells, (cell) => cell.textContent).join(" "));
      return { row, text, tight: tightened(text) };
    });
    const input = make("input", { id, type: "search", autocomplete: "off", autocapitalize: "none", spellcheck: "false" });
    const says = make("p", { "aria-hidden": "true" });
    const spoken = make("p", { class: "spoken", role: "status" });
    let pause = 0;
    function tell(aloud) {
      const shown = rows.filter(({ row }) => !row.hidden).length;
      says.textContent = shown + " of " + rows.length + " " + what + " shown" + (shown ? "" : ": try fewer letters, or another word");
      window.clearTimeout(pause);
      if (aloud) pause = window.setTimeout(() => { spoken.textContent = says.textContent; }, PAUSE);
    }
    input.addEventListener("input", () => {
      filter(rows, input.value);
      tell(true);
    });
    document.addEventListener("fettlebook:machine", () => tell(false));
    tell(false);
    const label = make("label", { for: id }, "Show only " + what + " with these words or numbers");
    return { element: make("div", { class: "table-tools" }, label, input, says, spoken), spoken };
  }

  /** Compares two rows by a column: numbers by data-value (rows without one last), text as people order part numbers. */
  function comparer(column, kind, language) {
    const order = new Intl.Collator(language, { numeric: true, sensitivity: "base" });
    return (one, other) => {
      const a = one.cells[column];
      const b = other.cells[column];
      if (kind !== "number") return order.compare(a.textContent.trim(), b.textContent.trim());
      const x = a.dataset.value === undefined ? Infinity : Number(a.dataset.value);
      const y = b.dataset.value === undefined ? Infinity : Number(b.dataset.value);
      return x === y ? 0 : x - y;
    };
  }

  function sort(table, head, words, spoken) {
    const falling = head.getAttribute("aria-sort") === "ascending";
    const compare = comparer(head.cellIndex, head.dataset.sort, document.documentElement.lang || undefined);
    const rows = bodyRows(table).sort((one, other) => (falling ? compare(other, one) : compare(one, other)));
    table.tBodies[0].append(...rows);
    for (const other of head.parentElement.cells) other.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", falling ? "descending" : "ascending");
    spoken.textContent = "Sorted by " + words + (falling ? ", falling" : ", rising");
  }

  function prepare(table) {
    if (table.classList.contains("is-sortable") || !table.tHead || !table.tBodies.length) return;
    const { element, spoken } = tools(table);
    table.before(element);
    for (const head of table.tHead.rows[0].cells) {
      if (!head.dataset.sort) continue;
      const words = head.textContent.trim();
      const key = make("button", { type: "button", class: "sort" }, words);
      key.addEventListener("click", () => sort(table, head, words, spoken));
      // On paper the words of a table's head are repeated on every sheet, but no button is.
      head.replaceChildren(key, make("span", { class: "print-only", "aria-hidden": "true" }, words));
    }
    table.classList.add("is-sortable");
  }

  function start() {
    for (const table of document.querySelectorAll("table[data-component='table']")) prepare(table);
  }

  Fettlebook.components.push({ name: "tables", start });
})(window);
