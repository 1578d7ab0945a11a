// @ts-check
/**
 * Shows the steps of a figure one at a time. Without this script they stand one under the other.
 *
 * A plain script, so that it runs from a folder as well as from a server. The words come from the page.
 */
(() => {
  "use strict";

  const STEPPER = ".om-stepper";
  const STEP = ".om-stepper-step";

  /** @typedef {(index: number) => void} Show Shows a step; an index beyond an end means that end. */

  /** @type {WeakMap<Element, Show>} */
  const shows = new WeakMap();

  /**
   * @param {string} name
   * @param {string} className
   * @param {string} [text]
   * @returns {HTMLElement}
   */
  function element(name, className, text = "") {
    const made = document.createElement(name);
    made.className = className;
    made.textContent = text;
    return made;
  }

  /** @param {HTMLElement} stepper */
  function enhance(stepper) {
    const steps = /** @type {HTMLElement[]} */ ([...stepper.querySelectorAll(STEP)]);
    const previous = element("button", "om-stepper-button", stepper.dataset.previous);
    const next = element("button", "om-stepper-button", stepper.dataset.next);
    const position = element("p", "om-stepper-position");
    const bar = element("div", "om-stepper-bar");
    let current = 0;

    /** @type {Show} */
    function show(index) {
      current = Math.min(Math.max(index, 0), steps.length - 1);
      steps.forEach((step, at) => {
        step.classList.toggle("om-stepper-shown", at === current);
        step.inert = at !== current;
      });
      const name = steps[current].querySelector(".om-stepper-name");
      position.textContent = name ? name.textContent : "";
      // Not disabled: that would take the focus away from whoever has just pressed it.
      previous.setAttribute("aria-disabled", String(current === 0));
      next.setAttribute("aria-disabled", String(current === steps.length - 1));
    }

    previous.setAttribute("type", "button");
    next.setAttribute("type", "button");
    previous.addEventListener("click", () => show(current - 1));
    next.addEventListener("click", () => show(current + 1));
    stepper.addEventListener("keydown", (event) => {
      const target = { ArrowLeft: current - 1, ArrowRight: current + 1, Home: 0, End: steps.length - 1 }[event.key];
      if (target === undefined || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      show(target);
    });

    position.setAttribute("aria-live", "polite");
    position.setAttribute("aria-atomic", "true");
    bar.append(previous, position, next);
    stepper.prepend(bar);
    stepper.classList.add("om-stepper-on");
    shows.set(stepper, show);
    show(0);
  }

  /** Opens the step that the address names, if it names one. */
  function follow() {
    const target = document.getElementById(decoded(location.hash.slice(1)));
    const step = target && target.closest(STEP);
    const stepper = step && step.closest(STEPPER);
    const show = stepper && shows.get(stepper);
    if (!step || !stepper || !show) return;
    show([...stepper.querySelectorAll(STEP)].indexOf(step));
    stepper.scrollIntoView();
  }

  /**
   * @param {string} text
   * @returns {string}
   */
  function decoded(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return text; // a stray percent sign
    }
  }

  document.querySelectorAll(STEPPER).forEach((stepper) => enhance(/** @type {HTMLElement} */ (stepper)));
  follow();
  addEventListener("hashchange", follow);
  // A second click on the same link changes no address.
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element && event.target.closest("a");
    if (link && link.hash && link.href === location.href) follow();
  });
})();
