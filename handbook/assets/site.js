// @ts-check
// The contents and the search of a narrow page: opened by buttons, shut by Escape, and nothing behind them can be
// reached while they are open. Without this script labels do the opening.
(() => {
  "use strict";
  const NARROW = matchMedia("(max-width: 76.2344em)");

  /** @param {string} selector @returns {HTMLElement[]} */
  const all = (selector) => [...document.querySelectorAll(selector)].filter((one) => one instanceof HTMLElement);

  /** Ticks or unticks one of the theme's hidden boxes, and tells it.
   * @param {HTMLInputElement} box
   * @param {boolean} open
   */
  const set = (box, open) => {
    if (box.checked !== open) {
      box.checked = open;
      box.dispatchEvent(new CustomEvent("change"));
    }
  };

  for (const button of all("button[data-om-opens]")) {
    const box = document.getElementById(button.dataset.omOpens ?? "");
    const panel = document.getElementById(button.getAttribute("aria-controls") ?? "");
    if (!(box instanceof HTMLInputElement) || !panel) continue;
    const isContents = box.id === "__drawer";

    const follow = () => {
      button.setAttribute("aria-expanded", String(box.checked));
      if (!isContents) return;
      for (const behind of all(".md-content, .md-footer, .md-search")) behind.inert = box.checked && NARROW.matches;
      if (box.checked) panel.focus();
    };
    button.addEventListener("click", () => {
      set(box, !box.checked);
      if (!isContents && box.checked) panel.querySelector("input")?.focus();
    });
    box.addEventListener("change", follow);
    // A change of the page's width, or the way back to it, may leave the box ticked.
    if (isContents) NARROW.addEventListener("change", () => set(box, false));
    addEventListener("keydown", (event) => {
      if (event.key === "Escape" && box.checked && NARROW.matches) {
        set(box, false);
        button.focus();
      }
    }, true);
  }

  // The theme shows the switch of the colours in use, and leaves their radio button unticked.
  const colours = document.querySelector("[data-md-component=palette]");
  if (colours) {
    const tick = () => {
      const chosen = colours.querySelector("label:not([hidden])")?.previousElementSibling;
      if (chosen instanceof HTMLInputElement) chosen.checked = true;
    };
    new MutationObserver(tick).observe(colours, { attributeFilter: ["hidden"], subtree: true });
    tick();
  }

  // Single letters do nothing here: whoever speaks to the computer would trigger them (WCAG 2.2, 2.1.4).
  addEventListener("keydown", (event) => {
    const target = event.target;
    const writes = target instanceof Element && target.closest("input, textarea, select, [contenteditable]");
    const letter = event.key.length === 1 && event.key !== " ";
    if (letter && !writes && !event.ctrlKey && !event.metaKey && !event.altKey) event.stopImmediatePropagation();
  }, true);
})();
