// @ts-check
/** One question: its form, and what is said of the answer in the words of the one that stands in the page. */
(() => {
  "use strict";
  const { answers, forms } = Offmidline;
  const { element, filled, one, every, status } = Offmidline.dom;
  const { copy } = forms;

  /** A day as it is written. @param {string} day @param {string} locale */
  function told(day, locale) {
    const how = /** @type {const} */ ({ day: "numeric", month: "long", year: "numeric" });
    return new Date(`${day}T00:00`).toLocaleDateString(locale, how);
  }

  /** @type {Om.Scripts["question"]["make"]} */
  function make(section, item, { words, store, changed }) {
    const answer = one(section, ".om-answer");
    const said = status("div", "om-item-said");
    const fault = status("p", "om-form-fault");
    const moved = status("p", "om-unseen");
    const check = element("button", "om-form-button", words.check);
    /** @param {string} text */
    const say = (text) => void (moved.textContent = text);
    const form = forms.make(section, item, words, say);
    const whole = element("form", "om-item-form", form.field, fault, check, moved);
    fault.id = `${section.id}-fault`;
    whole.noValidate = true;
    whole.autocomplete = "off";
    answer.before(whole, said);
    answer.hidden = true;
    const heading = one(section, ".om-item-name");
    heading.tabIndex = -1;

    /** @type {Om.Outcome | null} */
    let judged = null;

    /** @param {string} name */
    function refuse(name) {
      fault.textContent = name && words[name];
      form.fault(fault.textContent || "", fault);
    }

    function mistake() {
      return judged?.about == null ? null : answer.querySelector(`[data-answer="${judged.about}"]`);
    }

    /** The verdict, the mistake behind it, both answers, and why. @param {Om.Answer} given */
    function feedback(given) {
      const right = Boolean(judged?.right);
      const sign = element("span", "om-item-sign", right ? "✓" : "✗");
      sign.setAttribute("aria-hidden", "true");
      const verdict = element("p", "om-item-verdict", sign, ` ${right ? words.is_right : words.is_wrong}`);
      /** @type {HTMLElement[]} */
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
