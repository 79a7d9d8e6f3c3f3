// What must stay together on paper: rows, panels, pictures with their words, headings with what follows. Run in a page
// whose medium is paper; gives texts without blanks, as they stand on the paper.
(() => {
  const close = (text) => text.replace(/\s+/g, "");
  const isSeen = (element) => element.checkVisibility({ visibilityProperty: true }) && !element.closest("svg, math, .spoken, .print-head, .print-foot, option");

  function piece(node) {
    const parent = node.parentElement;
    const text = close(node.data);
    if (!text || !isSeen(parent)) return null;
    return getComputedStyle(parent).textTransform === "uppercase" ? text.toUpperCase() : text;
  }

  function pieces(element) {
    const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
    const found = [];
    while (walker.nextNode()) { const text = piece(walker.currentNode); if (text) found.push(text); }
    return found;
  }

  /** The first text behind an element that is long enough to be told apart, within the next few. */
  function next(element) {
    const walker = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
    walker.currentNode = element;
    while (walker.nextNode()) {
      if (element.contains(walker.currentNode) || walker.currentNode.parentElement.closest(".op")) continue;
      const text = piece(walker.currentNode);
      if (text && text.length > 5) return text;
    }
    return null;
  }

  const kept = ".row, .panel, figure.picture, .ready-row, .line, .figures > tbody > tr, .board-row, .sign, .amendments, .corner, .change";
  const wholes = [...document.querySelectorAll(kept)].filter(isSeen).map((element) => ({ name: element.id || element.className, pieces: pieces(element) }));
  const heads = [...document.querySelectorAll("h2, h3, h4, summary")].filter((head) => isSeen(head) && close(head.textContent));
  const headings = heads.map((head) => ({ head: pieces(head).join(""), next: next(head) })).filter((pair) => pair.head);
  return { wholes: wholes.filter((whole) => whole.pieces.length), headings };
})()
