// @ts-check
/** A case as the text of its file. */
(() => {
  "use strict";
  /**
   * The lines of a case file; every number in it has its unit.
   * @param {Om.Found} found @param {{case: string, title: string, technique: string}} head
   * @param {string[]} remarks for the lines above
   */
  function write({ patient, side, pits, openings, cavity_depth, fascia_depth }, head, remarks) {
    /** @param {number} value */
    const mm = (value) => `${value} mm`;
    const listed = openings.map(({ at, lateral, side, diameter }) => {
      return `    - {at: ${mm(at)}, lateral: ${mm(lateral)}, side: ${side}, diameter: ${mm(diameter)}}`;
    });
    return [
      ...remarks.map((remark) => `# ${remark}`),
      `case: ${head.case}`,
      `title: ${head.title}`,
      "audience: trainee",
      `technique: ${head.technique}`,
      `patient: {age: ${patient.age} years, sex: ${patient.sex}, weight: ${patient.weight} kg}`,
      "findings:",
      "  pits:",
      ...pits.map((pit) => `    - {at: ${mm(pit.at)}, diameter: ${mm(pit.diameter)}}`),
      ...(listed.length ? ["  openings:", ...listed] : []),
      `  cavity_depth: ${mm(cavity_depth)}`,
      `  fascia_depth: ${mm(fascia_depth)}`,
      `side: ${side}`,
      "",
    ].join("\n");
  }

  Offmidline.caseFile = Object.freeze({ write });
})();
