"""Faults of cases: what was written, where the fault is, what the message says."""

from __future__ import annotations

import pytest
import yaml

from offmidline.records import FaultsError, read_case, yaml_text

OPENING = "    - {at: 96 mm, lateral: 22 mm, side: left, diameter: 5 mm}\n"

# old text, new text, line, column, words of the message
VALUES = [
    ("at: 62 mm", "at: 62", 16, 12, ["62 has no unit", "62 mm", "mm, cm, m"]),
    ("at: 62 mm", "at: 62 kg", 16, 12, ["body mass", "length is due", "mm, cm, m"]),
    ("at: 62 mm", "at: 62 mmm", 16, 12, ["mmm", "62 mm"]),
    ("at: 62 mm", "at: 62 inch", 16, 12, ["inch", "mm, cm, m"]),
    ("at: 62 mm", "at: -62 mm", 16, 12, ["-62 mm", "more than 0 mm, up to 250 mm", "anal verge"]),
    ("at: 62 mm", "at: 0 mm", 16, 12, ["0 mm", "more than 0 mm, up to 250 mm"]),
    ("at: 62 mm", "at: 62 cm", 16, 12, ["62 cm", "up to 25 cm", "up to 250 mm", "anal verge"]),
    ("at: 62 mm", "at: .nan", 16, 12, ["not a finite number"]),
    ("at: 62 mm", "at: nan mm", 16, 12, ["not a finite number"]),
    ("at: 62 mm", "at: .inf", 16, 12, ["not a finite number"]),
    ("at: 62 mm", "at: 6.2e1 mm", 16, 12, ["exponent"]),
    ("at: 62 mm", "at: '62,5 mm'", 16, 12, ["comma", "point"]),
    ("at: 62 mm", "at: 62 mm 3 cm", 16, 12, ["more than one number"]),
    ("at: 62 mm", "at: ''", 16, 12, ["empty", "mm"]),
    ("at: 62 mm", "at: [62 mm]", 16, 12, ["not a list"]),
    ("at: 62 mm", "at: {mm: 62}", 16, 12, ["not a mapping"]),
    ("at: 62 mm", "at: ~", 16, 12, ["at has no value", "~"]),
    ("at: 62 mm", "at: null", 16, 12, ["at has no value", "null"]),
    ("at: 62 mm", "at: ", 16, 8, ["at has no value", "after the colon"]),
    ("at: 62 mm", "at", 16, 8, ["at has no value"]),
    ("cavity_depth: 14 mm", "cavity_depth: 12:30", 20, 17, ["12:30", "one number"]),
    ("cavity_depth: 14 mm", "cavity_depth: 2020-01-02", 20, 17, ["2020-01-02"]),
    ("cavity_depth: 14 mm", "cavity_depth: 1_000 mm", 20, 17, ["1_000 mm", "not a quantity"]),
    ("fascia_depth: 24 mm", "fascia_depth: 24", 21, 17, ["24 has no unit"]),
    ("weight: 70 kg", "weight: 70 cm", 8, 11, ["70 cm is a length", "body mass is due", "kg"]),
    ("weight: 70 kg", "weight: 7 kg", 8, 11, ["30 kg to 300 kg"]),
    ("height: 171 cm", "height: 171 m", 9, 11, ["1.2 m to 2.3 m", "1200 mm to 2300 mm"]),
    ("age: 31 years", "age: 31", 6, 8, ["31 years", "year"]),
    ("age: 31 years", "age: 12 years", 6, 8, ["16 years to 110 years", "specialist"]),
    ("symptoms: 14 months", "symptoms: 14 mm", 13, 21, ["length", "duration is due", "weeks"]),
    ("volume: 60 ml", "volume: 60 mg", 33, 68, ["drug mass", "volume is due"]),
    ("concentration: 2 mg/ml", "concentration: 2 %", 33, 51, ["%", "mg/ml"]),
    ("lateral_cut: 45 deg", "lateral_cut: 45 mm", 30, 24, ["length", "angle is due", "deg"]),
    ("lateral_cut: 45 deg", "lateral_cut: 5 deg", 30, 24, ["20 deg to 150 deg"]),
    ("asa: 2", "asa: 5", 10, 8, ["5", "from 1 to 4", "class"]),
    ("asa: 2", "asa: 2.0", 10, 8, ["not a whole number"]),
    ("asa: 2", "asa: 010", 10, 8, ["not a whole number", "leading zero"]),
    ("asa: 2", "asa: II", 10, 8, ["not a whole number"]),
    ("asa: 2", "asa: '2'", 10, 8, ["in quotes"]),
    ("drained: 1", "drained: -1", 13, 41, ["from 0 to 50"]),
    ("drained: 1", "drained: 0x1", 13, 41, ["not a whole number"]),
    ("drained: 1", "drained: 99999999999999999999", 13, 41, ["not a whole number"]),
    ("deep_stitches: 9", "deep_stitches: 61", 32, 26, ["from 0 to 60"]),
    ("smoker: false", "smoker: no", 11, 11, ["no is neither true nor false"]),
    ("smoker: false", "smoker: False", 11, 11, ["true or false"]),
    ("smoker: false", "smoker: 'false'", 11, 11, ["without quotes"]),
    ("smoker: false", "smoker: 0", 11, 11, ["true or false"]),
    ("sex: female", "sex: femal", 7, 8, ["femal", "male or female", "did you mean female?"]),
    ("audience: trainee", "audience: all", 3, 11, ["all", "trainee or examiner"]),
    ("audience: trainee", "audience: Trainee", 3, 11, ["did you mean trainee?"]),
    (
        "side: left, diam",
        "side: lefft, diam",
        19,
        41,
        ["lefft", "left or right", "did you mean left?"],
    ),
    ("title: Two pits and an opening", "title: ''", 2, 8, ["title is empty"]),
    ("title: Two pits and an opening", "title: ' '", 2, 8, ["title is empty"]),
    ("title: Two pits and an opening", "title: " + "x" * 201, 2, 8, ["201 characters", "200"]),
    ("title: Two pits and an opening", 'title: "a\\0b"', 2, 8, ["control character", "U+0000"]),
    ("title: Two pits and an opening", 'title: "a\\eb"', 2, 8, ["control character", "U+001B"]),
    ("title: Two pits and an opening", "title: [a]", 2, 8, ["not a list"]),
    ("teaching_notes: Ask", "teaching_notes: " + "y" * 601 + " Ask", 36, 17, ["600"]),
    ("case: tile-setter", "case: Tile Setter", 1, 7, ["Tile Setter", "a to z", "hyphens"]),
    ("case: tile-setter", "case: ../tile-setter", 1, 7, ["is not an id"]),
    ("case: tile-setter", "case: tile-seller", 1, 7, ["tile-seller", "tile-setter"]),
    (
        "technique: off",
        "technique: of",
        4,
        12,
        ["there is no of-midline-flap", "did you mean off-midline-flap?"],
    ),
    ("technique: off-midline-flap", "technique: zzz", 4, 12, ["there is off-midline-flap"]),
    ("technique: off-midline-flap", "technique: ../sources", 4, 12, ["is not an id"]),
    (
        "agent: ropivacaine",
        "agent: ropivacain",
        33,
        23,
        ["no limits for ropivacain", "did you mean ropivacaine?"],
    ),
    ("agent: ropivacaine", "agent: cocaine", 33, 23, ["bupivacaine, levobupivacaine, lidocaine"]),
]

KEYS = [
    (
        "title: Two",
        "titel: Two",
        [(1, 1, ["title is missing"]), (2, 1, ["titel", "did you mean title?"])],
    ),
    (
        "side: left\nmarking",
        "flapside: left\nmarking",
        [(22, 1, ["flapside", "did you mean side?"])],
    ),
    (
        "side: left\nmarking",
        "xyzzy: left\nmarking",
        [(22, 1, ["xyzzy", "the keys here are", "teaching_notes"])],
    ),
    (
        "  cavity_depth",
        "  cavity_dept",
        [(14, 1, ["cavity_depth is missing"]), (20, 3, ["did you mean cavity_depth?"])],
    ),
    (
        "diameter: 2 mm",
        "diametre: 2 mm",
        [(16, 7, ["diameter is missing"]), (16, 19, ["did you mean diameter?"])],
    ),
    ("  sex: female\n", "", [(5, 1, ["sex is missing"])]),
    ("audience: trainee\n", "", [(1, 1, ["audience is missing"])]),
    ("at: 62 mm, ", "at: 62 mm, at: 63 mm, ", [(16, 19, ["at is given twice", "line 16"])]),
    (
        "side: left\nmarking",
        "case: tile-setter\nside: left\nmarking",
        [(22, 1, ["case", "twice", "line 1:"])],
    ),
    (
        "at: 62 mm",
        "at: 62,5 mm",
        [(16, 12, ["62 has no unit"]), (16, 15, ["5 mm", "comma", "point"])],
    ),
    (
        "  pits:\n    - {at: 62 mm, diameter: 2 mm}\n    - {at: 74 mm, diameter: 3 mm}\n",
        "  pits: []\n",
        [(15, 9, ["pits is an empty list", "at least one"])],
    ),
    (
        "  pits:\n    - {at: 62 mm, diameter: 2 mm}\n    - {at: 74 mm, diameter: 3 mm}\n",
        "  pits: 62 mm\n",
        [(15, 9, ["pits must be a list"])],
    ),
    ("closure: {deep_stitches: 9}", "closure: 9", [(32, 10, ["closure must be a mapping"])]),
    ("closure: {deep_stitches: 9}", "closure: [9]", [(32, 10, ["closure must be a mapping"])]),
    ("    - {at: 74 mm, diameter: 3 mm}", "    - 74 mm", [(17, 7, ["pits must be a mapping"])]),
    ("    - {at: 74 mm, diameter: 3 mm}", "    -", [(17, 6, ["item without a value"])]),
    ("closure: {deep_stitches: 9}", "closure:", [(32, 1, ["closure has no value"])]),
    (
        "learning:\n  - The opening decides the side.",
        "learning: One.",
        [(34, 11, ["learning must be a list"])],
    ),
]

AGREEMENT = [
    (
        "cavity_depth: 14 mm",
        "cavity_depth: 25 mm",
        20,
        17,
        ["25 mm", "deeper than fascia_depth, 24 mm"],
    ),
    ("at: 74 mm", "at: 6.2 cm", 17, 7, ["same place", "pit"]),
    (
        OPENING,
        f"{OPENING}    - {{at: 9.6 cm, lateral: 22 mm, side: left, diameter: 4 mm}}\n",
        20,
        7,
        ["same place", "opening"],
    ),
    ("  weight: 70 kg\n", "", 5, 1, ["weight is missing", "infiltration"]),
    ("cranial_apex: 130 mm", "cranial_apex: 20 mm", 24, 17, ["not above caudal_apex"]),
    ("cranial_apex: 130 mm", "cranial_apex: 60 mm", 24, 17, ["40 mm long", "50 mm wide"]),
    ("offset: 20 mm", "offset: -5 mm", 26, 10, ["width of 0 mm"]),
]


@pytest.fixture(params=["CSafeLoader", "SafeLoader"])
def loader(request, monkeypatch):
    """Both of PyYAML's parsers must give the same faults."""
    monkeypatch.setattr(yaml_text, "_LOADER", getattr(yaml, request.param))


@pytest.fixture
def spoil(case_text, write_case, folder):
    """Replace texts of the case; gives the faults."""

    def replace(*swaps):
        text = case_text
        for old, new in swaps:
            assert text.count(old) == 1, f"{old!r} must occur once"
            text = text.replace(old, new)
        with pytest.raises(FaultsError) as raised:
            read_case(write_case(text), folder)
        return raised.value.faults

    return replace


def _judge(faults, expected):
    """The faults have these places, in this order, and these words in their messages."""
    assert [(fault.line, fault.column) for fault in faults] == [row[:2] for row in expected]
    for fault, (_, _, words) in zip(faults, expected, strict=True):
        assert all(word in fault.message for word in words), fault


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(("old", "new", "line", "column", "words"), VALUES)
def test_a_bad_value_is_placed_and_explained(spoil, old, new, line, column, words):
    """One bad value gives one fault, at the value, with what would be right."""
    _judge(spoil((old, new)), [(line, column, words)])


@pytest.mark.usefixtures("loader")
@pytest.mark.parametrize(("old", "new", "expected"), KEYS)
def test_bad_keys_and_forms_are_placed_and_explained(spoil, old, new, expected):
    """An unknown key is placed at the key, a missing one at its parent; typos get a hint."""
    _judge(spoil((old, new)), expected)


@pytest.mark.parametrize(("old", "new", "line", "column", "words"), AGREEMENT)
def test_parts_that_disagree_are_placed_and_explained(spoil, old, new, line, column, words):
    """What no single value can tell is checked too."""
    _judge(spoil((old, new)), [(line, column, words)])


@pytest.mark.parametrize(
    ("openings", "fault"),
    [
        ("", (1, 1, ["no opening to decide", "side: left"])),
        ("  openings: []\n", (18, 13, ["no opening to decide", "side: right"])),
        (
            f"  openings:\n{OPENING}{OPENING.replace('left', 'right')}",
            (19, 5, ["as many openings", "side: left"]),
        ),
    ],
)
def test_the_side_must_be_given_where_the_openings_do_not_decide(spoil, openings, fault):
    """No openings, or as many on either side, decide nothing."""
    found = spoil((f"  openings:\n{OPENING}", openings), ("side: left\nmarking", "marking"))
    _judge(found, [fault])


def test_all_faults_of_a_file_come_in_one_run_in_their_order(spoil):
    """Faults of form, of values, of keys and between parts are told together."""
    found = spoil(
        ("case: tile-setter", "case: tiler"),
        ("technique: off-midline-flap", "technique: off-midline-flop"),
        ("age: 31 years", "age: 31"),
        ("smoker: false", "smoker: no"),
        ("at: 62 mm", "at: &here 62"),
        ("at: 74 mm", "at: *here"),
        ("side: left, diameter: 5 mm", "side: !!str lft, diameter: 5 mm, diameter: 6 mm"),
        ("cavity_depth: 14 mm", "cavity_depth: 34 mm"),
        ("cranial_apex: 130 mm", "cranial_apex: 13 mm"),
        ("closure: {deep_stitches: 9}", "clossure: {deep_stitches: 9}"),
        ("learning:", "<<: {a: b}\nlearning:"),
    )
    assert [(fault.line, fault.column) for fault in found] == [
        (1, 7),  # the id is not the stem
        (4, 12),  # no such technique
        (6, 8),  # a bare number
        (11, 11),  # neither true nor false
        (16, 12),  # an anchor
        (16, 12),  # ... before a bare number
        (17, 12),  # an alias
        (19, 41),  # a tag
        (19, 41),  # ... before a misspelt word
        (19, 68),  # a key given twice
        (20, 17),  # deeper than the fascia
        (24, 17),  # apexes the wrong way round
        (32, 1),  # an unknown key
        (34, 1),  # a merge key
    ]
