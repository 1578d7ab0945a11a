// @ts-check
/**
 * A self-test: its questions one at a time or all at once, the result behind the last one, and on the first page what
 * is due today. Without this script the page holds every question with its answer to open.
 */
(() => {
  "use strict";
  const { dom, progress, question, due } = Offmidline;
  const { data, element, filled, button, one, every, head, status } = dom;

  const box = one(document, ".om-self-test");
  const words = data("om-self-test-words");
  const store = progress.open(words.after_right, words.after_wrong);

  const items = data("om-self-test-items");
  const test = { words, store, changed };
  const questions = every(box, ".om-item").map((section, at) => question.make(section, items[at], test));

  /** @type {(() => void)[]} */
  let borrowed = [];

  /** A drawing that several questions look at is with the one that is asked. @param {HTMLElement | null} section */
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

  const alone = dom.choice(words.single, { type: "checkbox", checked: true, autocomplete: "off" });
  const single = alone.input;
  const position = element("p", "om-item-position");
  const previous = button(words.previous, () => go(current - 1));
  const next = button(words.next, () => go(current + 1));
  const steps = element("div", "om-item-buttons", previous, next);
  const summary = element("section", "om-item-summary");
  const title = element("h2", "om-item-name", words.summary);
  const results = element("div", "");
  const restarted = status("p", "om-item-kept");
  title.id = "self-test-result";
  title.tabIndex = -1;
  summary.setAttribute("aria-labelledby", title.id);
  summary.append(title, results, button(words.restart, restart));
  box.prepend(element("div", "om-item-bar", alone.label, position), restarted);
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
    results.replaceChildren(...parts(values));
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

  /** How many were right, by chapter. */
  function table() {
    /** @type {Map<string, {link: Node, right: number, count: number}>} */
    const chapters = new Map();
    for (const { topic, result } of questions) {
      const name = topic.textContent || "";
      const row = chapters.get(name) || { link: topic.cloneNode(true), right: 0, count: 0 };
      chapters.set(name, row);
      row.count += 1;
      if (result()?.right) row.right += 1;
    }
    const heads = words.summary_head.map((/** @type {string} */ text) => head("col", text));
    const rows = [...chapters.values()].map(({ link, right, count }) => {
      const numbers = [right, count].map((number) => element("td", "", String(number)));
      return element("tr", "", head("row", link), ...numbers);
    });
    return element(
      "table",
      "om-table",
      element("caption", "om-unseen", words.summary_caption),
      element("thead", "", element("tr", "", ...heads)),
      element("tbody", "", ...rows)
    );
  }

  /** A question to look at again. @param {Om.Question} question */
  function missed({ heading, section, topic, mistake }) {
    const link = element("a", "", heading.textContent || "");
    const name = mistake();
    link.href = `#${section.id}`;
    return element("li", "", link, name ? `: ${name} ` : " ", element("span", "om-reason", topic.cloneNode(true)));
  }

  /** @param {Record<string, number>} values */
  function parts(values) {
    const review = questions.filter((question) => question.result()?.right === false).map(missed);
    return [
      element("p", "", filled(words.summary_lead, values)),
      table(),
      element("h3", "", words.review),
      review.length ? element("ul", "", ...review) : element("p", "", words.review_none),
    ];
  }

  const listed = /** @type {HTMLElement | null} */ (document.querySelector(".om-item-due"));
  const list = listed && due.open(listed, words, store);

  function changed() {
    tell();
    list?.();
  }

  single.addEventListener("change", show);
  show();
  // The question that the address names is shown.
  dom.onTarget((target) => {
    const at = questions.findIndex(({ section }) => section === target);
    if (at >= 0) go(at);
  });
})();
