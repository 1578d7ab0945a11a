// @ts-check
/**
 * The questions that are due today, and what becomes of the dates: saved as a file, or erased.
 */
(() => {
  "use strict";
  const { element, filled, button, one, every, status } = Offmidline.dom;
  const { day } = Offmidline.progress;

  /** Shows the list of all questions, hidden until now; gives what shows those that are due now.
   * @type {Om.Scripts["due"]["open"]}
   */
  function open(section, words, store) {
    const said = status("p", "");
    const place = one(section, ".om-item-buttons");

    function list() {
      const names = store.due();
      let count = 0;
      for (const entry of every(section, "[data-item]")) {
        entry.hidden = !names.includes(entry.dataset.item || "");
        if (!entry.hidden) count += 1;
      }
      const name = ["due_none", "due_one"][count] || "due_some";
      one(section, ".om-item-said").textContent = filled(words[name], { count });
      one(section, ".om-item-kept").textContent = store.keeps() ? words.kept : words.refused;
    }

    function save() {
      const kept = Object.entries(store.all()).map(([name, { due, row }]) => ({
        question: section.querySelector(`[data-item="${name}"]`)?.textContent || name,
        due,
        right_in_a_row: row,
      }));
      const text = JSON.stringify({ saved: day(), questions: kept }, null, 2);
      const link = element("a", "");
      link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
      link.download = `review-dates-${day()}.json`;
      link.click();
      URL.revokeObjectURL(link.href);
      said.textContent = words.exported;
    }

    const erase = button(words.erase, () => ask(true));
    const yes = button(words.erase_yes, () => {
      store.erase();
      ask(false);
      list();
      said.textContent = words.erased;
    });
    const no = button(words.erase_no, () => ask(false));

    /** What is erased is asked for twice. @param {boolean} asked */
    function ask(asked) {
      erase.hidden = asked;
      yes.hidden = no.hidden = !asked;
      said.textContent = asked ? words.erase_ask : "";
      (asked ? no : erase).focus();
    }

    yes.hidden = no.hidden = true;
    place.append(button(words.export, save), erase, yes, no);
    place.after(said);
    section.hidden = false;
    addEventListener("storage", list);
    addEventListener("pageshow", list);
    list();
    return list;
  }

  Offmidline.due = Object.freeze({ open });
})();
