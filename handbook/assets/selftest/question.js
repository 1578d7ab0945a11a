// @ts-check
/**
 * One question: its form, and when Check is pressed what is said of the answer. The words come from the answer that
 * stands in the page.
 */
(() => {
  "use strict";
  const Offmidline = (window.Offmidline ??= {});
  const { page, answers, forms } = Offmidline;
  const { element, filled } = page;
  const { copy, one, every } = forms;

  /** @typedef {Record<string, any>} Words */

  /** A day as it is written. @param {string} day @param {string} locale */
  function told(day, locale) {
    const how = /** @type {const} */ ({ day: "numeric", month: "long", year: "numeric" });
    return new Date(`${day}T00:00`).toLocaleDateString(locale, how);
  }

  /**
   * @param {HTMLElement} section
   * @param {any} item what is needed to judge an answer
   * @param {{words: Words, store: any, changed: () => void}} test what it belongs to
   */
  function make(section, item, { words, store, changed }) {
    const answer = one(section, ".om-answer");
    const said = element("div", "om-item-said");
    const fault = element("p", "om-form-fault");
    const moved = element("p", "om-unseen");
    const check = element("button", "om-form-button", words.check);
    /** @param {string} text */
    const say = (text) => void (moved.textContent = text);
    const form = forms.make(section, item, words, say);
    const whole = element("form", "om-item-form", form.field, fault, check, moved);
    fault.id = `${section.id}-fault`;
    for (const live of [fault, moved, said]) live.setAttribute("role", "status");
    whole.noValidate = true;
    whole.autocomplete = "off";
    answer.before(whole, said);
    answer.hidden = true;
    const heading = one(section, ".om-item-name");
    heading.tabIndex = -1;

    /** @type {{right: boolean, about: number | null} | null} */
    let judged = null;

    /** @param {string} name */
    function refuse(name) {
      fault.textContent = name && words[name];
      form.fault(fault.textContent || "", fault.id);
    }

    function mistake() {
      return judged?.about == null ? null : answer.querySelector(`[data-answer="${judged.about}"]`);
    }

    /** What is said of an answer: the verdict, the mistake behind it, both answers, and why. @param {any} given */
    function feedback(given) {
      const right = Boolean(judged?.right);
      const sign = element("span", "om-item-sign", right ? "✓" : "✗");
      sign.setAttribute("aria-hidden", "true");
      const verdict = element("p", "om-item-verdict", sign, ` ${right ? words.is_right : words.is_wrong}`);
      const found = [element("div", "", verdict)];
      const known = mistake();
      if (!right && known) {
        const reason = copy(known);
        one(reason, ".om-item-text")?.remove();
        const lead = item.kind === "order" ? [element("b", "", words.misplaced_first), " "] : [];
        found.push(element("p", "om-item-mistake", ...lead, ...reason.childNodes));
      }
      const key = answer.querySelector(".om-item-key");
      if (right && item.kind === "numeric" && key) found.push(copy(key));
      if (!right) {
        const sides = [
          element("div", "", element("p", "om-item-whose", words.your_answer), ...form.given(given)),
          element("div", "", element("p", "om-item-whose", words.right_answer), ...form.right()),
        ];
        found.push(element("div", "om-item-compare", ...sides));
      }
      return [...found, ...every(answer, ".om-item-because, .om-item-rule").map(copy)];
    }

    function reset() {
      judged = null;
      form.lock(false);
      form.reset();
      refuse("");
      said.replaceChildren();
      moved.textContent = "";
      check.textContent = words.check;
      check.removeAttribute("aria-disabled");
    }

    whole.addEventListener("submit", (event) => {
      event.preventDefault();
      if (judged) return;
      const read = form.read();
      refuse("fault" in read ? read.fault : "");
      if ("fault" in read) return;
      judged = answers.judge(item, read.answer);
      form.lock(true);
      check.textContent = words.checked;
      check.setAttribute("aria-disabled", "true");
      said.dataset.right = String(judged?.right);
      const due = store.note(item.name, judged?.right);
      said.replaceChildren(
        ...feedback(read.answer),
        element("p", "om-item-again", filled(words.again, { date: told(due, words.locale) }))
      );
      changed();
    });
    reset();
    return {
      section,
      heading,
      topic: one(section, ".om-item-topic a"),
      reset,
      result: () => judged,
      mistake: () => mistake()?.querySelector("b")?.textContent || "",
    };
  }

  Offmidline.question = Object.freeze({ make });
})();
