"""The shipped technique and sources, and faults of techniques and sources."""

from __future__ import annotations

import pytest

from offmidline.records import (
    FaultsError,
    TechniqueSettings,
    read_case,
    read_sources,
    read_technique,
)

NAME = "off-midline-flap"


@pytest.fixture
def spoil(folder):
    """Replace a text of a file in the folder; gives the faults of the technique as triples."""

    def replace(old, new, name=f"techniques/{NAME}.yml"):
        path = folder / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        with pytest.raises(FaultsError) as raised:
            read_technique(NAME, folder)
        return [
            (fault.path, text[: text.index(old)].count("\n") + 1 - fault.line, fault.message)
            for fault in raised.value.faults
        ]

    return replace


def test_the_shipped_technique_has_the_defaults_of_the_design(shipped):
    """The defaults that everything else is computed from."""
    assert read_technique(NAME, shipped).settings == TechniqueSettings(
        offset=20,
        caudal_shift=10,
        reach=5,
        length_to_width=2,
        pit_margin=3,
        opening_margin=3,
        near_opening=10,
        verge_clearance=20,
        lowest_apex=0,
        lateral_cut_deg=45,
        medial_cut_deg=90,
        clearance_below_cavity=2,
        flap_thickness=10,
        undermining=20,
        deep_spacing=12,
        superficial_spacing=12,
    )


def test_the_shipped_limits_are_those_of_the_labels(shipped):
    """Fixed limit and limit by weight of each agent, mg and mg/kg [bnf-ropivacaine,
    lidocaine-uk-smpc, us-label-lidocaine, bahamas-formulary, levobupivacaine-smpc].
    """
    agents = read_technique(NAME, shipped).infiltration
    assert {name: (agent.fixed_mg, agent.per_kg_mg) for name, agent in agents.items()} == {
        "ropivacaine": (200, 3),
        "lidocaine": (200, 3),
        "lidocaine-us": (300, 4.5),
        "lidocaine-adrenaline": (500, 7),
        "bupivacaine": (150, 2),
        "levobupivacaine": (150, None),
    }


def test_values_without_a_source_say_so(shipped):
    """Nothing is called sourced that rests on usual teaching or on our own choice."""
    technique = read_technique(NAME, shipped)
    standing = {
        name: getattr(technique.dimensions, name).status
        for name in type(technique.dimensions).model_fields
    }
    assert [name for name, status in standing.items() if status == "sourced"] == ["offset"]
    assert standing["lateral_cut_deg"] == "local setting"
    ropivacaine = technique.infiltration["ropivacaine"]
    assert (ropivacaine.status, ropivacaine.per_kg_standing) == ("sourced", "common practice")


def test_a_technique_is_found_by_id_and_by_path(shipped):
    """Both ways lead to the same record."""
    by_path = read_technique(shipped / "techniques" / f"{NAME}.yml", shipped)
    assert by_path == read_technique(NAME, shipped)


def test_steps_take_their_numbers_from_the_dimensions(shipped):
    """No step holds a number: each is a placeholder with the name of a dimension."""
    technique = read_technique(NAME, shipped)
    names = set(TechniqueSettings.__annotations__) | {"lateral_cut", "medial_cut"}
    assert [phase.phase for phase in technique.steps] == [
        *("preparation", "marking", "excision", "flap", "infiltration", "closure", "recovery"),
    ]
    for phase in technique.steps:
        for step in phase.steps:
            for text in filter(None, (step.do, step.why, step.check, step.wrong)):
                pieces = text.split("{{")
                used = {piece.partition("}}")[0].strip() for piece in pieces[1:]}
                assert used <= names, step.step
                words = pieces[0] + "".join(piece.partition("}}")[2] for piece in pieces[1:])
                assert not any(character.isdigit() for character in words), step.step


def test_every_step_says_how_it_goes_right_and_wrong(shipped):
    """At least 25 steps, each with what to do, why, when it is right, and what goes wrong."""
    steps = [step for phase in read_technique(NAME, shipped).steps for step in phase.steps]
    assert len(steps) >= 25
    for step in steps:
        assert all((step.do, step.why, step.check, step.wrong)), step.step


def test_pause_points_guard_what_cannot_be_undone(shipped):
    """Anaesthetic, side, cut, dose, end and handover each have a pause point before or after."""
    phases = read_technique(NAME, shipped).steps
    pauses = {step.step for phase in phases for step in phase.steps if step.pause}
    guarded = {"sign-in", "confirm-side", "time-out", "agree-dose", "sign-out", "handover"}
    assert guarded <= pauses


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("value: 20 mm", "value: 20", "20 has no unit"),
        ("value: 20 mm", "value: 70 mm", "up to 60 mm"),
        ("value: 2\n", "value: 2:1\n", "not a plain decimal number"),
        ("value: 2\n", "value: 2 mm\n", "not a plain decimal number"),
        ("value: 2\n", "value: '2'\n", "in quotes"),
        ("status: sourced", "status: source", "did you mean sourced?"),
        ("value: 10 mm", "value: 21 mm", "would dent inwards: keep it below 20 mm"),
        ("sozen-2011, karydakis-1992", "sozen-2012", "there is no sozen-2012 in sources.yml"),
        ("sozen-2011, karydakis-1992", "Sozen", "is not an id"),
        ("technique: off-midline-flap", "technique: other-flap", "call it off-midline-flap"),
        ("operation: off", "operation: of", "did you mean off-midline-advancement?"),
        ("fixed: 200 mg", "fixed: 200 mg/kg", "a drug mass is due"),
        ("  ropivacaine:", "  Ropi vacaine:", "is not an id"),
        ("phase: excision", "phase: marking", "given twice"),
        ("step: midline", "step: confirm-side", "given twice"),
        ("who: all", "who: nurse", "surgeon, assistant, anaesthetist, scrub, circulating or all"),
        ("pause: true", "pause: yes", "neither true nor false"),
        ("pits-covered: 3", "pit-covered: 3", "did you mean pits-covered?"),
        ("pits-covered: 3", "pits-covered: 0", "from 0.1 to 10"),
        ("pits-covered: 3", "pits-covered: -3", "from 0.1 to 10"),
        ("pits-covered: 3", "pits-covered: 11", "from 0.1 to 10"),
        ("pits-covered: 3", "pits-covered: 3 points", "not a plain decimal number"),
        ("pits-covered: 3", "pits-covered: '3'", "in quotes"),
        ("pits-covered: 3", "pits-covered: [3]", "one value, not a list"),
        ("pits-covered: 3", "side: 3", "the key side is given twice"),
    ],
)
def test_faults_of_a_technique_are_placed_and_explained(spoil, old, new, words):
    """Dimensions, limits, sources and steps are judged like a case."""
    ((_, distance, message),) = spoil(old, new)
    assert words in message
    assert distance == 0


def test_all_faults_of_the_weights_come_in_one_run(spoil):
    """An unknown rule is placed at its key, a weight at its value, each in its line."""
    faults = spoil("side: 3\n  pits-covered: 3", "sides: 3\n  pits-covered: none")
    assert [line for _, line, _ in faults] == [0, -1]
    assert "did you mean side?" in faults[0][2]
    assert "not a plain decimal number" in faults[1][2]


def test_weights_may_be_left_out(folder):
    """A technique of before has none; what it leaves out is for the score to say."""
    path = folder / "techniques" / f"{NAME}.yml"
    text = path.read_text(encoding="utf-8")
    start, end = text.index("weights:\n"), text.index("infiltration:\n")
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert read_technique(NAME, folder).weights == {}


def test_shipped_weights_put_what_defeats_the_operation_first(shipped):
    """No rule weighs more than the side, the pits and the scar off the midline."""
    weights = read_technique(NAME, shipped).weights
    most = max(weights.values())
    assert {"side", "pits-covered", "scar-off-midline"} == {
        rule for rule, weight in weights.items() if weight == most
    }


def test_what_is_sourced_needs_a_source(spoil):
    """A status of sourced without a source is placed at the setting."""
    ((_, distance, message),) = spoil("    source: [sozen-2011, karydakis-1992]\n", "")
    assert "offset is sourced, but names no source" in message
    assert distance == 7


def test_faults_of_a_technique_come_with_the_case_that_names_it(
    spoil, case_text, write_case, folder
):
    """Who checks one case learns of the technique's faults too, each at its own file."""
    spoil("value: 20 mm", "value: 20")
    with pytest.raises(FaultsError) as raised:
        read_case(write_case(case_text.replace("62 mm", "62")), folder)
    assert [fault.path.rpartition("/")[2] for fault in raised.value.faults] == [
        "tile-setter.yml",
        "off-midline-flap.yml",
    ]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("known: memory", "known: recalled", "write abstract-read, standard-read"),
        ("type: article-journal", "type: paper", "article-journal"),
        ("date-parts: [[1992]]", "date-parts: [[92.5]]", "not a whole number"),
        ("date-parts: [[1992]]", "date-part: [[1992]]", "date-parts is missing"),
        ("- id: sozen-2011", "- id: karydakis-1992", "given twice"),
        ("DOI: 10.1007/s11845-010-0549-4", "DOI: s11845", "is not a DOI"),
        ("PMID: '20721696'", "PMID: PMC20721696", "is not such a number"),
        ("family: Sozen, given: S", "given: S", "`family` name"),
        ("URL: https://", "URL: javascript://", "is not a web address"),
    ],
)
def test_faults_of_the_sources_are_explained(spoil, old, new, words):
    """The sources are judged like everything else."""
    found = spoil(old, new, "sources.yml")
    assert any(words in message for path, _, message in found if path.endswith("sources.yml"))


def test_sources_are_read_by_id(shipped):
    """Entries keep what CSL-JSON and our own two fields say."""
    source = read_sources(shipped)["karydakis-1992"]
    assert (source.year, source.known, source.confidence) == (1992, "memory", "medium")
    assert source.container_title == "Australian and New Zealand Journal of Surgery"


def test_every_source_that_the_technique_cites_exists(shipped):
    """The shipped technique cites nothing that is not in the shipped sources."""
    technique, sources = read_technique(NAME, shipped), read_sources(shipped)
    cited = {
        name
        for setting in (
            *(
                getattr(technique.dimensions, name)
                for name in type(technique.dimensions).model_fields
            ),
            *technique.infiltration.values(),
        )
        for name in setting.source
    }
    assert cited
    assert cited <= sources.keys()
