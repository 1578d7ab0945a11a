// @ts-check
/**
 * A self-test: its questions one at a time or all at once, the result behind the last one, and on the first page what
 * is due today. Without this script the page holds every question with its answer to open.
 */
(() => {
  "use strict";
  const { page, progress, forms, question, result, due } = window.Offmidline;
  const { element, filled } = page;
  const { button, one, every } = forms;

  const box = one(document, ".om-self-test");
  const words = page.data("om-self-test-words");
  const store = progress.open(words.after_right, words.after_wrong);

  const items = page.data("om-self-test-items");
  const test = { words, store, changed };
  const questions = every(box, ".om-item").map((section, at) => question.make(section, items[at], test));

  /* A drawing that several questions look at is with the one that is being asked. */

  /** @type {(() => void)[]} */
  let borrowed = [];

  /** @param {HTMLElement | null} section */
  function borrow(section) {
    for (const giveBack of borrowed) giveBack();
    borrowed = [];
    for (const link of section ? every(section, ".om-picture > a") : []) {
      const home = document.getElementById(/** @type {HTMLAnchorElement} */ (link).hash.slice(1));
      const figure = home?.querySelector("figure");
      if (!home || !figure) continue;
      link.hidden = true;
      link.after(figure);
      borrowed.push(() => {
        home.append(figure);
        link.hidden = false;
      });
    }
  }

  /* Around the questions */

  const single = element("input", "");
  const position = element("p", "om-item-position");
  const previous = button(words.previous, () => go(current - 1));
  const next = button(words.next, () => go(current + 1));
  const steps = element("div", "om-item-buttons", previous, next);
  const summary = element("section", "om-item-summary");
  const title = element("h2", "om-item-name", words.summary);
  const results = element("div", "");
  const restarted = element("p", "om-item-kept");
  Object.assign(single, { type: "checkbox", checked: true, autocomplete: "off" });
  title.id = "self-test-result";
  title.tabIndex = -1;
  restarted.setAttribute("role", "status");
  summary.setAttribute("aria-labelledby", title.id);
  summary.append(title, results, button(words.restart, restart));
  const label = element("label", "om-form-choice", single, element("span", "", words.single));
  box.prepend(element("div", "om-item-bar", label, position), restarted);
  box.append(summary, steps);

  /** The place of the question that is shown; behind the last one is the result. */
  let current = 0;

  function show() {
    const alone = single.checked;
    questions.forEach(({ section }, at) => (section.hidden = alone && at !== current));
    summary.hidden = alone && current < questions.length;
    steps.hidden = !alone;
    previous.disabled = current === 0;
    next.hidden = current === questions.length;
    next.textContent = current === questions.length - 1 ? words.summary : words.next;
    borrow(alone && current < questions.length ? questions[current].section : null);
    tell();
  }

  function tell() {
    const done = questions.map((one) => one.result()).filter(Boolean);
    const values = {
      number: current + 1,
      count: questions.length,
      answered: done.length,
      right: done.filter((one) => one?.right).length,
    };
    const where = single.checked && current < questions.length ? `${filled(words.position, values)} ` : "";
    position.textContent = where + filled(words.score, values);
    results.replaceChildren(...result.parts(questions, words, values, go));
  }

  /** @param {number} at */
  function go(at) {
    current = Math.max(0, Math.min(questions.length, at));
    restarted.textContent = "";
    show();
    (current < questions.length ? questions[current].heading : title).focus();
  }

  function restart() {
    for (const one of questions) one.reset();
    go(0);
    restarted.textContent = words.restarted;
  }

  /** Shows the question that the address names. */
  function follow() {
    const at = questions.findIndex(({ section }) => `#${section.id}` === location.hash);
    if (at >= 0) go(at);
  }

  const listed = /** @type {HTMLElement | null} */ (document.querySelector(".om-item-due"));
  const list = listed && due.open(listed, words, store);

  function changed() {
    tell();
    list?.();
  }

  single.addEventListener("change", show);
  addEventListener("hashchange", follow);
  show();
  follow();
})();
