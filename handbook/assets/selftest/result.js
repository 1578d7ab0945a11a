// @ts-check
/**
 * The result of a test: how many were right, by chapter, and which questions to look at again.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { element, filled } = Offmidline.page;

  /** @typedef {{heading: HTMLElement, section: HTMLElement, topic: HTMLElement, result: () => {right: boolean} | null,
   *   mistake: () => string}} Question */

  /** @param {Question[]} questions @param {Record<string, any>} words */
  function table(questions, words) {
    /** @type {Map<string, {link: Node, right: number, count: number}>} */
    const chapters = new Map();
    for (const { topic, result } of questions) {
      const name = topic.textContent || "";
      const row = chapters.get(name) || { link: topic.cloneNode(true), right: 0, count: 0 };
      chapters.set(name, row);
      row.count += 1;
      if (result()?.right) row.right += 1;
    }
    /** @param {"col" | "row"} scope @param {Node | string} inside */
    function head(scope, inside) {
      const made = element("th", "", inside);
      made.scope = scope;
      return made;
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

  /** @param {Question} question @param {() => void} go */
  function missed({ heading, section, topic, mistake }, go) {
    const link = element("a", "", heading.textContent || "");
    const name = mistake();
    link.href = `#${section.id}`;
    // A second click on the same link changes no address.
    link.addEventListener("click", go);
    return element("li", "", link, name ? `: ${name} ` : " ", element("span", "om-reason", topic.cloneNode(true)));
  }

  /**
   * @param {Question[]} questions
   * @param {Record<string, any>} words
   * @param {Record<string, number>} values
   * @param {(at: number) => void} go shows a question
   * @returns {HTMLElement[]}
   */
  function parts(questions, words, values, go) {
    const review = questions.flatMap((question, at) =>
      question.result()?.right === false ? [missed(question, () => go(at))] : []
    );
    return [
      element("p", "", filled(words.summary_lead, values)),
      table(questions, words),
      element("h3", "", words.review),
      review.length ? element("ul", "", ...review) : element("p", "", words.review_none),
    ];
  }

  Offmidline.result = Object.freeze({ parts });
})();
