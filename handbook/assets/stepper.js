// @ts-check
/** Shows the steps of a figure one at a time. Without this script they stand one under the other. */
(() => {
  "use strict";
  const { element, every, button, onTarget } = Offmidline.dom;

  const STEPPER = ".om-stepper";
  const STEP = ".om-stepper-step";

  /** @type {WeakMap<Element, (index: number) => void>} Shows a step; an index beyond an end means that end. */
  const shows = new WeakMap();

  /** @param {HTMLElement} stepper */
  function enhance(stepper) {
    const steps = every(stepper, STEP);
    const previous = button(stepper.dataset.previous || "", () => show(current - 1), "om-stepper-button");
    const next = button(stepper.dataset.next || "", () => show(current + 1), "om-stepper-button");
    const position = element("p", "om-stepper-position");
    const bar = element("div", "om-stepper-bar");
    let current = 0;

    /** @param {number} index */
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

  every(document, STEPPER).forEach(enhance);
  // Opens the step that the address names, if it names one.
  onTarget((target) => {
    const step = target && target.closest(STEP);
    const stepper = step && step.closest(STEPPER);
    const show = stepper && shows.get(stepper);
    if (!step || !stepper || !show) return;
    show(every(stepper, STEP).indexOf(/** @type {HTMLElement} */ (step)));
    stepper.scrollIntoView();
  });
})();
