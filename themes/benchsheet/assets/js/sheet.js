// What the components share: making elements, hiding for a reason, bars, switches, the panel. Text goes in as text only.
(function (window) {
  "use strict";
  const Fettlebook = window.Fettlebook;
  const document = window.document;
  const reasons = new WeakMap();

  /** An element with attributes (a false one is left out, a true one is bare) and children (elements or text). */
  function make(tag, attributes, ...children) {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (value !== false) element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children);
    return element;
  }

  /** Hides or shows for one reason; the element shows again only when no reason is left. */
  function hide(element, reason, hidden) {
    const held = reasons.get(element) || new Set();
    if (hidden) held.add(reason); else held.delete(reason);
    reasons.set(element, held);
    element.hidden = held.size > 0;
  }

  function button(text, onClick, attributes) {
    const element = make("button", Object.assign({ type: "button", class: "key" }, attributes), text);
    element.addEventListener("click", onClick);
    return element;
  }

  /** A ruled line in which the page speaks to the reader. */
  function bar(kind, text, ...keys) {
    return make("div", { class: "bar bar-" + kind }, make("p", {}, text), ...keys);
  }

  /** Radio buttons as large switches. `group`: legend, name, choices [{value, text, small}], chosen, onChange, hint. */
  function switchGroup(group) {
    const line = make("div", { class: "switch-line" });
    for (const choice of group.choices) {
      const input = make("input", { type: "radio", name: group.name, value: choice.value });
      input.checked = choice.value === group.chosen;
      input.addEventListener("change", () => { if (input.checked) group.onChange(choice.value); });
      const words = make("span", {}, choice.text);
      if (choice.small) words.append(make("small", {}, choice.small));
      line.append(make("label", { class: "switch" }, input, words));
    }
    const set = make("fieldset", { class: "switch-group" }, make("legend", {}, group.legend));
    if (group.hint) set.append(make("p", {}, group.hint));
    set.append(line);
    return set;
  }

  /** Opens a panel of switches. It closes by its own key and by Escape. */
  function panel(title, content) {
    const heading = make("h2", { id: "switches-title" }, title);
    const dialog = make("dialog", { class: "switches", "aria-labelledby": "switches-title" }, heading, ...content);
    dialog.append(make("div", { class: "switches-foot" }, button("Done", () => dialog.close())));
    dialog.addEventListener("close", () => dialog.remove());
    document.body.append(dialog);
    dialog.showModal();
  }

  /** Puts `element` after the title block, below what already stands there. */
  function underTitle(element) {
    const title = document.querySelector(".title-block");
    if (!title) return;
    let last = title;
    while (last.nextElementSibling && last.nextElementSibling.classList.contains("bar")) last = last.nextElementSibling;
    last.after(element);
  }

  Fettlebook.sheet = { make, hide, button, bar, switchGroup, panel, underTitle };
})(window);
