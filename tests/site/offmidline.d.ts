/**
 * The types that the scripts of handbook/assets/ share: what a page hands them, and what each gives to those after
 * it. Only for checking; nothing of it is published. Keys of data are the Python names; lengths in mm.
 */

declare var Offmidline: Om.Scripts;

declare namespace Om {
  /** A section of the messages; what stands in [brackets] is filled in. */
  type Words = Record<string, any>;
  type Side = "left" | "right";
  type Edge = "medial" | "lateral";
  /** A place of the plan, x and y; of a section, x and depth; of a drawing, to the right and up. */
  type Point = [number, number];

  interface Pit {
    at: number;
    diameter: number;
  }
  interface Opening extends Pit {
    lateral: number;
    side: Side;
  }
  interface Findings {
    pits: Pit[];
    openings: Opening[];
    cavity_depth: number;
    fascia_depth: number;
  }
  type Settings = Record<string, number>;

  interface Lines {
    offset: number;
    caudal_shift: number;
    half_width: number;
    cranial_apex: number;
    caudal_apex: number;
  }
  /** The two arcs that lines make. */
  interface Arcs extends Lines {
    half_length: number;
    radius: number;
    alpha: number;
    widest_level: number;
  }
  type Measure =
    | "reach" | "length" | "width" | "length_to_width" | "area_mm2" | "medial_edge" | "lateral_edge" | "perimeter"
    | "edge_mismatch_percent" | "scar_length" | "axis_slope_at_caudal_apex" | "cranial_angle_deg"
    | "caudal_angle_deg" | "scar_angle_deg" | "passes_verge_at" | "scar_nearest_midline";
  type Outline = Readonly<Arcs & Record<Measure, number> & { cranial_point: Point; caudal_point: Point }>;

  interface Cuts {
    depth: number;
    lateral_cut_deg: number;
    medial_cut_deg: number;
  }
  /** taper: width lost per mm of depth, negative where it widens. */
  type Trough = Readonly<Cuts & { taper: number }>;
  interface Raised {
    flap_thickness: number;
    undermining: number;
  }
  /** What a marking is drawn from; the rest of it makes the section and the closure. */
  interface Drawn {
    side: Side;
    outline: Lines;
    excised_openings?: readonly number[];
  }
  interface Marking extends Cuts, Raised, Drawn {
    excised_openings: readonly number[];
    deep_stitches: number;
    superficial_stitches: number;
  }
  type MarkingNumber = keyof Cuts | keyof Raised | "deep_stitches" | "superficial_stitches";

  interface StitchRow {
    stitches: number;
    spacing: number;
  }
  interface MeasuredOpening extends Opening {
    x: number;
    margin: number;
    gap: number;
    decision: "excise" | "leave";
  }
  interface Plan {
    settings: Settings;
    findings: Findings;
    marking: Marking;
    outline: Outline;
    trough: Trough;
    required_side: Side;
    midline_covered: Point | null;
    pits: (Pit & { margin: number; excised: boolean })[];
    openings: MeasuredOpening[];
    verge_clearance: number;
    nearest_to_verge: Point;
    depth_window: { least: number; greatest: number };
    base_width: number;
    trough_area_mm2: number;
    volume_ml: number;
    skin_gap: number;
    deep_gap: number;
    deep_row: StitchRow;
    superficial_row: StitchRow;
  }
  type Comparison = "is" | "at least" | "at most" | "between" | "above";
  interface Requirement {
    comparison: Comparison;
    value: number | string;
    upper: number | null;
    tolerance: number;
  }
  /** What is measured and what is required. */
  type Asked = [number | string, Requirement];
  interface Verdict {
    rule: string;
    verdict: "met" | "not met" | "not applicable";
    measured: number | string | null;
    required: Requirement | null;
    unit: string;
  }
  interface Mistake {
    mistake: string;
    breaks: string[];
    may_break: string[];
    marking: Marking;
  }
  interface Exercise {
    case: string;
    settings: Settings;
    weights: Record<string, number>;
    findings: Findings;
    side: Side;
    right: Marking;
    mistakes: Mistake[];
  }
  interface Judged {
    plan: Plan;
    verdicts: Verdict[];
    points: number;
    most: number;
    mistake: string | null;
  }

  interface Disc {
    x: number;
    y: number;
    radius: number;
  }
  interface Demands {
    offset: number;
    caudal_shift: number;
    least_reach: number;
    greatest_reach: number;
    length_to_width: number;
    verge_clearance: number;
    lowest_apex: number;
  }
  /** An outline with its widest level at 0; a is half its length, h half its width. */
  interface Shape {
    offset: number;
    h: number;
    a: number;
    radius: number;
    alpha: number;
    bend: number;
  }
  /** The least marking for a reach; its area is infinite where there is none. */
  interface LeastRow {
    reach: number;
    halfLength: number;
    widest: number;
    area: number;
  }
  /** A case that is to be fitted. */
  interface Unfitted {
    settings: Settings;
    greatest_reach: number;
    side: Side;
    findings: Findings;
  }
  interface Fitted {
    outline: Outline | null;
    pits_only: Outline | null;
    excised_openings: number[];
  }
  /** A constraint that cannot hold with the others, and its nearest miss; null where nothing helps. */
  interface Conflict {
    constraint: string;
    at: number | null;
    required: number;
    nearest: number | null;
  }

  /** Limits of a drawing; top is the larger. */
  interface Field {
    left: number;
    right: number;
    top: number;
    bottom: number;
  }
  type Attributes = Record<string, string | number>;
  /** What a handle moves. */
  interface Grip {
    /** What it is and where, as it is read out. */
    name(): string;
    at(): Point;
    /** Brings it as near to a place as may be. */
    move(to: Point): void;
    /** By an arrow key, mm. */
    step(right: number, up: number): void;
    /** Before the first move of a drag, a tap or a key. */
    begin?(): void;
    /** After the last one. */
    end?(): void;
    /** Told where it is after a key, and when it is selected. */
    say?(name: string, selected: boolean): void;
    /** Another key; whether it was meant for this handle. */
    key?(key: string): boolean;
    /** A class for the style sheet. */
    kind?: string;
    /** Ways that it can go. */
    ways?: "x" | "y" | "xy";
  }
  interface Handle {
    element: SVGGElement;
    place(): void;
    select(on: boolean): void;
  }
  interface TextStyle {
    anchor?: string;
    beside?: Point;
  }
  interface Scene {
    root: SVGSVGElement;
    layer(name: string): SVGElement;
    /** Things of a fixed size on the screen: what is inside is in pixels. */
    pinned(at: Point, attributes: Attributes, ...inside: (Node | string)[]): SVGElement;
    /** Text of the size of the screen; `beside` moves it, in pixels to the right and down. */
    text(at: Point, words: string, kind: string, how?: TextStyle): SVGElement;
    handle(grip: Grip, into: Element): Handle;
    /** mm that a pixel of the screen takes. */
    pixel(): number;
    /** Watches for a change of the size on the screen. */
    onScale(watch: () => void): void;
    /** Watches for taps beside every handle, where none is selected. */
    onTap(tap: (to: Point) => void): void;
    placeHandles(): void;
  }
  interface BoardState {
    findings?: Findings;
    marking?: Drawn | null;
    right?: Drawn | null;
    ticked?: readonly number[];
  }
  interface Board {
    field: Field;
    /** Shows a state whole; what is left out is not drawn. */
    draw(state: BoardState): void;
    /** A handle at [mm to the patient's right, level]. */
    handle(grip: Grip): Handle;
    onTap: Scene["onTap"];
  }
  interface Shown {
    findings: Findings;
    side?: Side;
    right?: Drawn;
  }

  /** A state with its way back: changes between begin and end are one step. It is replaced whole by every change. */
  interface History<State extends object> {
    state(): State;
    begin(): void;
    end(): void;
    set(change: Partial<State>): void;
    /** One change as a step of its own. */
    step(change: Partial<State>): void;
    /** Whether there was a step to take back. */
    undo(): boolean;
    /** Back to the start, as a step. */
    reset(): void;
    watch(watch: (forced: boolean) => void): void;
  }

  interface TaskField {
    key: string;
    unit: "mm" | "deg" | "count";
  }
  interface Task<State extends object> {
    name: "marking" | "section";
    exercise: Exercise;
    /** In order; the limits of each are the page's range of its name. */
    fields: TaskField[];
    /** The drawing and its key. */
    drawing: Element[];
    draw(state: State, right: boolean): void;
    /** Shows a state in what stands before the numbers. */
    choices?(state: State): void;
    /** Elements of the form before the numbers. */
    before: Element[];
    /** Names and values; or why there are none. */
    measures(state: State): [string, string][] | string;
    /** What has to be chosen first; "" for nothing. */
    missing(state: State): string;
    judge(state: State): Judged | null;
    /** What more a verdict needs said. */
    remark(verdict: Verdict, state: State): string;
  }

  /** What is needed to judge an answer to a question. */
  interface Item {
    name: string;
    kind: string;
    /** Of a choice: the position of what is right. */
    key: number;
    /** Of entries to put in order: their right places, as shown. */
    shown: number[];
    /** Of a number: what is right, within what, what slips give, and its unit. */
    value: number;
    tolerance: number;
    slips: number[];
    unit: string;
  }
  /** A position, what was typed, or positions in the order given. */
  type Answer = number | string | number[];
  type Fault = "empty" | "thousands" | "no_number" | "no_choice";
  interface Outcome {
    right: boolean;
    /** The position of what the feedback is about. */
    about: number | null;
  }
  interface Form {
    /** What is filled in. */
    field: HTMLElement;
    read(): { answer: Answer } | { fault: Fault };
    lock(locked: boolean): void;
    reset(): void;
    /** An answer, to be shown beside the right one. */
    given(answer: any): Node[];
    /** The right answer, to be shown beside another. */
    right(): Node[];
    /** Marks the field as faulty, or as sound with "". */
    fault(message: string, place: HTMLElement): void;
  }
  /** The day from which it is due, and right answers in a row. */
  interface Kept {
    due: string;
    row: number;
  }
  interface Store {
    /** Notes an answer and tells when it is to be asked again. */
    note(name: string, right: boolean): string;
    due(): string[];
    all(): Record<string, Kept>;
    erase(): void;
    keeps(): boolean;
  }
  interface Test {
    words: Words;
    store: Store;
    changed(): void;
  }
  interface Question {
    section: HTMLElement;
    heading: HTMLElement;
    topic: HTMLElement;
    reset(): void;
    result(): Outcome | null;
    mistake(): string;
  }

  /** What a learner has marked; the side is chosen first. */
  interface Marked {
    side: Side | null;
    offset: number;
    caudal_shift: number;
    reach: number;
    cranial_apex: number;
    caudal_apex: number;
    ticked: number[];
  }

  /** What the sandbox shows. */
  interface Found extends Findings {
    side: Side;
    patient: { age: number; sex: string; weight: number };
  }
  type Kind = "pits" | "openings";
  /** The keys that lead to a value of what was found. */
  type Way = readonly (string | number)[];
  interface Limits {
    low: number;
    high: number;
    open: boolean;
  }

  /** A row of the table of complications. */
  interface Complication {
    from: number;
    to: number;
    signs: string[];
    danger: boolean;
    title: string;
    row: HTMLElement;
  }

  /** Grading systems, as a page holds them. */
  namespace Grading {
    interface Branch {
      title: string;
      next?: string;
      grade?: string;
    }
    interface Tree {
      words: Words;
      title: string;
      start: string;
      questions: { question: string; ask: string; answers: Branch[] }[];
      grades: Record<string, { title: string; means: string }>;
    }
    interface Part {
      part: string;
      title: string;
      days: number;
      choices: { title: string; points: number }[];
    }
    interface Points {
      words: Words;
      title: string;
      parts: Part[];
      bands: { from: number; to: number; title: string }[];
    }
    /** What is asked for a part; day 0 where it is asked once. */
    interface Item {
      part: Part;
      day: number;
      points(): number | null;
      clear(points?: number): void;
    }
  }

  /** What each script gives, by its name. */
  interface Scripts {
    dom: {
      /** JSON that the page holds in an element of a class; null where it has none. */
      data(kind: string): any;
      /** A text with values in the place of their names. */
      filled(text: string, values: Record<string, string | number>): string;
      element<Name extends keyof HTMLElementTagNameMap>(
        name: Name, kind: string, ...inside: (Node | string)[]
      ): HTMLElementTagNameMap[Name];
      /** One element that is there. */
      one(inside: ParentNode, selector: string): HTMLElement;
      every(inside: ParentNode, selector: string): HTMLElement[];
      button(label: string, press: () => void, kind?: string): HTMLButtonElement;
      /** An element that is read out when it changes. */
      status<Name extends keyof HTMLElementTagNameMap>(
        name: Name, kind: string, ...inside: (Node | string)[]
      ): HTMLElementTagNameMap[Name];
      /** The head of a column or row of a table. */
      head(scope: "col" | "row", ...inside: (Node | string)[]): HTMLTableCellElement;
      /** A radio button or check box in its label. */
      choice(
        label: Node | string, made: Partial<HTMLInputElement>
      ): { input: HTMLInputElement; label: HTMLLabelElement };
      /** Says what is wrong with a field, or "" for nothing; the unit, by its id, is said of it too. */
      fault(input: HTMLInputElement, place: HTMLElement, message: string, unit?: string): void;
      /** Calls with what the address names: now, when it changes, and when it is asked for again. */
      onTarget(follow: (target: HTMLElement | null) => void): void;
    };
    number: {
      /** With the decimals that a reader needs, without a minus zero: `20`, `−2.5`. */
      shown(value: number, decimals?: number): string;
      /** With its unit: `20 mm`, `45°`, `2.05` where it has none. */
      amount(value: number, unit: string): string;
      /** What was typed, with a decimal comma or point; null for what is no number. */
      read(text: string): number | null;
      /** A line of a form: label, number, unit, and what is wrong with it; kind begins the names of its classes. */
      field(
        id: string, label: string, unit: string, kind: "om-form" | "om-exercise", inputMode: string
      ): { line: HTMLElement; input: HTMLInputElement; fault(message: string): void };
    };
    outline: {
      /** The outline of these lines; null where they enclose none: no finite numbers, no width, wider than long. */
      make(lines: Lines): Outline | null;
      /** x of the axis (predicted scar) at level y. */
      axis(o: Outline, y: number): number;
      /** Distance from the axis to either edge at level y; 0 beyond the apexes. */
      halfWidthAt(o: Outline, y: number): number;
      /** x of an edge at level y. */
      edgeX(o: Outline, edge: Edge, y: number): number;
      /** The point of an edge at the parameter phi (radians). */
      edgePoint(o: Outline, edge: Edge, phi: number): Point;
      /** The closed outline as 2 * count points from the caudal apex up the lateral edge and down the medial one. */
      ring(o: Outline, count?: number): Point[];
      /** The outline's nearest point to (x, y). */
      nearestPoint(o: Outline, x: number, y: number): Point;
      /** Distance of (x, y) from the outline, positive inside. */
      signedDistance(o: Outline, x: number, y: number): number;
      /** Signed distance from a disc's rim, at its worst point, to the outline. */
      discMargin(o: Outline, x: number, y: number, diameter: number): number;
      /** Distance from the outline to a disc's nearest point outside it; negative where cut through or enclosed. */
      discGap(o: Outline, x: number, y: number, diameter: number): number;
      /** Distance from the outline to the centre of the anal verge; negative inside. */
      vergeClearance(o: Outline): number;
      /** Lowest and highest level at which the midline lies inside; null where the widest level does not reach it. */
      midlineCovered(o: Outline): Point | null;
    };
    section: {
      /** The trough that a marking cuts; null without a depth or with an angle that is none. */
      trough(marking: Cuts): Trough | null;
      /** Width of the floor under a skin width; 0 where the walls meet above it. */
      baseWidth(cut: Trough, width: number): number;
      /** Area of the section under a skin width. */
      areaMm2(cut: Trough, width: number): number;
      /** Volume of the trough under an outline: the integral of the section's area from apex to apex. */
      volumeMl(o: Outline, cut: Trough): number;
      /** The walls from the skin to the floor between two skin edges; both end in the same point where they meet. */
      walls(cut: Trough, medialX: number, lateralX: number): { medial: Point[]; lateral: Point[]; meet: boolean };
      /** Gap of the deep row at the widest level: from the recess to the axis at the excision's full depth. */
      deepGap(o: Outline, marking: { depth: number } & Raised): number;
      /** Least number of stitches whose equal spacing along an edge does not exceed the asked one. */
      stitchesNeeded(length: number, spacing: number): number;
      /** The spacing that a number of stitches makes along an edge, none at the apexes. */
      rowSpacing(length: number, stitches: number): number;
    };
    answer: {
      /** Judge a marking whose excised openings are those that the learner ticked; null where it encloses nothing. */
      judge(exercise: Exercise, marking: Marking, rules?: readonly string[]): Judged | null;
      SURFACE_RULES: readonly string[];
      SECTION_RULES: readonly string[];
    };
    fit: {
      /** Fits to the pits, takes the openings near that, and fits again; what the new outline reaches is taken too. */
      fitCase(asked: Unfitted): Fitted;
      /** The marking that satisfies the technique, or null where no outline does. */
      rightMarking(asked: Unfitted, fitted?: Fitted): Marking | null;
      /** The constraints that cannot hold together, each with its nearest miss, the discs' margin first. */
      explain(asked: Unfitted, fitted: Fitted): Conflict[];
      /** x of an opening in the frame of a marking on a side. */
      openingX(opening: Opening, side: Side): number;
    };
    scene: {
      open(field: Field): Scene;
      svg(name: string, attributes?: Attributes, ...inside: (Node | string)[]): SVGElement;
      /** A path through points given in mm, upwards positive. */
      path(points: readonly (readonly number[])[], closed?: boolean): string;
    };
    board: {
      /** A live board inside an element of the page. */
      open(exercise: Shown, host: Element, how?: { field?: Field; label?: string }): Board;
      /** A still picture of findings and, if there is one, of a marking. */
      picture(
        exercise: Shown, marking: Drawn | null, told: { title: string; description: string }
      ): SVGSVGElement;
      /** The key of a drawing; the line of what is right is listed where `om-shows-right` is set above it. */
      key(words: Record<string, string>, names: string[]): HTMLUListElement;
      /** The part of the skin that the grid shows: what was found, and room for every marking given. */
      field(findings: Pick<Findings, "pits" | "openings">, ...markings: (Drawn | null | undefined)[]): Field;
      /** 1 where a side lies to the right on the board, -1 where it lies to the left. */
      sign(side: Side): 1 | -1;
      /** The name of an opening on the board: A, B, C ... */
      letter(index: number): string;
    };
    caseFile: {
      write(
        found: Found,
        head: { case: string; title: string; technique: string },
        remarks: string[]
      ): string;
    };
    history: { keep<State extends object>(start: State): History<State> };
    task: {
      open<State extends object>(
        host: HTMLElement, task: Task<State>, held: History<State>, said: HTMLElement
      ): void;
      within(name: string, value: number): number;
      say(said: HTMLElement): (name: string, selected: boolean) => void;
    };
    answers: {
      read(text: string): { value: number } | { fault: Fault };
      judge(item: Item, answer: Answer): Outcome;
    };
    progress: {
      open(afterRight: number[], afterWrong: number): Store;
      day(later?: number): string;
    };
    forms: {
      make(section: HTMLElement, item: Item, words: Words, say: (text: string) => void): Form;
      copy(original: Element): HTMLElement;
    };
    question: { make(section: HTMLElement, item: Item, test: Test): Question };
    due: { open(section: HTMLElement, words: Words, store: Store): () => void };
  }
}
