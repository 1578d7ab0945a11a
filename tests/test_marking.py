"""What is decided for a case: sides, openings, depth, flap, stitches, infiltration."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.geometry.oracles import bent
from tests.strategies import a_case, a_technique

from offmidline.geometry.fit import Disc
from offmidline.geometry.margin import disc_gap, disc_margin
from offmidline.geometry.outline import Outline
from offmidline.marking import (
    Fitted,
    Infiltrate,
    Marking,
    case_marking,
    demands,
    fit_case,
    near_openings,
    opening_discs,
    opening_x,
    pit_discs,
    right_marking,
)
from offmidline.records import Case, Technique


def right(case: Case, by: Technique | None = None) -> Marking:
    """The right marking of a case."""
    by = by or a_technique()
    marking = right_marking(case, by, fit_case(case, by))
    assert marking is not None
    return marking


def shown(case: Case, by: Technique | None = None) -> Marking:
    """The marking that a case shows."""
    by = by or a_technique()
    marking = case_marking(case, by, fit_case(case, by))
    assert marking is not None
    return marking


def fitted_outline(fitted: Fitted) -> Outline:
    """The outline of a fit that has one."""
    assert fitted.outline is not None
    return fitted.outline


def test_frame_of_an_opening():
    """x is positive on the side of the flap, whichever side that is."""
    case = a_case(openings=[(80, 12, "left", 4)])
    opening = case.findings.openings[0]
    assert opening_x(opening, "left") == 12.0
    assert opening_x(opening, "right") == -12.0


def test_discs():
    """Pits and openings become discs of their own radius and their own margin."""
    by = a_technique(pit_margin="3 mm", opening_margin="5 mm")
    case = a_case(
        pits=[(70, 2), (76, 3)], openings=[(90, 12, "left", 4), (95, 20, "right", 6)], side="right"
    )
    assert pit_discs(case, by) == [Disc(0.0, 70.0, 4.0), Disc(0.0, 76.0, 4.5)]
    assert opening_discs(case, by, "right", {1, 0}) == [
        Disc(-12.0, 90.0, 7.0),
        Disc(20.0, 95.0, 8.0),
    ]
    assert opening_discs(case, by, "left", {1}) == [Disc(-20.0, 95.0, 8.0)]


def test_demands_are_the_techniques():
    """What a fit is asked comes from the technique, each from its own setting."""
    asked = demands(
        a_technique(
            offset="21 mm",
            caudal_shift="9 mm",
            reach="6 mm",
            length_to_width="2.25",
            verge_clearance="18 mm",
            lowest_apex="4 mm",
        )
    )
    assert (asked.offset, asked.caudal_shift, asked.least_reach) == (21.0, 9.0, 6.0)
    assert (asked.length_to_width, asked.verge_clearance, asked.lowest_apex) == (2.25, 18.0, 4.0)
    assert asked.greatest_reach > 40


def test_near_and_distant_openings():
    """An opening whose rim is within near_opening of the outline is near, one beyond it is not."""
    outline = bent(120)  # its lateral edge lies at x = 45 at the widest level, y = 0
    for lateral, near in ((56.9, True), (57.1, False), (30.0, True)):
        case = a_case(openings=[(1, lateral, "right", 4)])
        level = Outline(20.0, 0.0, 25.0, 61.0, -59.0)
        assert bool(near_openings(case, "right", level, 10.0)) is near
    far = a_case(openings=[(200, 45, "right", 4)])
    assert near_openings(far, "right", outline, 10.0) == frozenset()


def test_only_near_openings_are_taken():
    """The near opening is excised with its margin, the distant one left outside."""
    case = a_case(
        pits=[(60, 2), (70, 2)],
        openings=[(95, 39, "right", 4), (130, 60, "right", 4)],
    )
    fitted = fit_case(case, a_technique())
    assert fitted.excised_openings == {0}
    outline = fitted_outline(fitted)
    assert disc_margin(outline, 39.0, 95.0, 4.0) >= 3.0 - 0.01
    assert disc_gap(outline, 60.0, 130.0, 4.0) > 0
    assert fitted.pits_only is not None
    assert fitted.pits_only.area_mm2 < outline.area_mm2


def test_opening_that_the_pits_cover_already():
    """An opening inside the outline for the pits changes nothing about it."""
    case = a_case(openings=[(75, 15, "right", 3)])
    fitted = fit_case(case, a_technique())
    assert fitted.excised_openings == {0}
    assert fitted.outline == fitted.pits_only


@pytest.mark.parametrize(("lateral", "taken"), [(50, {0, 1}), (52, {0})])
def test_near_opening_pulls_the_next_one_in(lateral, taken):
    """A distant opening that the outline for a near one would cut through is taken too; one beyond
    it is not.
    """
    by = a_technique(near_opening="1 mm")
    distant = (70, lateral, "right", 1)
    assert fit_case(a_case(openings=[distant]), by).excised_openings == frozenset()
    fitted = fit_case(a_case(openings=[(75, 46, "right", 4), distant]), by)
    assert fitted.excised_openings == taken
    gap = disc_gap(fitted_outline(fitted), lateral, 70.0, 1.0)
    assert (gap > 0) == (1 not in taken)


def test_no_outline_for_the_openings():
    """Where the pits fit but a near opening cannot be taken with them, there is no outline."""
    fitted = fit_case(a_case(pits=[(50, 2)], openings=[(34, 8, "left", 6)]), a_technique())
    assert fitted.pits_only is not None
    assert fitted.outline is None
    assert fitted.excised_openings == {0}


def test_right_marking_is_the_techniques():
    """Angles, flap and stitches of the right marking are those of the technique."""
    by = a_technique(
        lateral_cut="60 deg",
        medial_cut="85 deg",
        flap_thickness="8 mm",
        undermining="15 mm",
        deep_spacing="10 mm",
        superficial_spacing="15 mm",
        clearance_below_cavity="3 mm",
    )
    marking = right(a_case(), by)
    assert (marking.lateral_cut_deg, marking.medial_cut_deg) == (60.0, 85.0)
    assert (marking.flap_thickness, marking.undermining, marking.depth) == (8.0, 15.0, 17.0)
    edge = marking.outline.medial_edge
    assert edge / (marking.deep_stitches + 1) <= 10 < edge / marking.deep_stitches
    assert edge / (marking.superficial_stitches + 1) <= 15 < edge / marking.superficial_stitches
    assert marking.side == "right"
    assert marking.infiltrate is None


def test_flap_of_a_shallow_wound():
    """A flap cannot be thicker than the wall that it is raised from is high."""
    shallow = a_case(findings={"cavity_depth": "4 mm", "fascia_depth": "20 mm"})
    assert right(shallow).depth == 6.0
    assert right(shallow).flap_thickness == 6.0


def test_depth_stops_at_the_fascia():
    """The right depth never goes through the fascia, even where the clearance is then less."""
    deep = a_case(findings={"cavity_depth": "27 mm", "fascia_depth": "28 mm"})
    assert right(deep).depth == 28.0


@pytest.mark.parametrize(("weight", "volume"), [("80 kg", 70.0), ("40 kg", 60.0)])
def test_infiltration_is_cut_to_the_limit(weight, volume):
    """A volume within the limit is kept; one beyond it is cut down to the limit (3 mg/kg, 2
    mg/ml).
    """
    case = a_case(
        patient={"age": "30 years", "sex": "male", "weight": weight},
        infiltration={"agent": "ropivacaine", "concentration": "2 mg/ml", "volume": "70 ml"},
    )
    cut = right(case).infiltrate
    assert cut is not None
    assert (cut.agent, cut.concentration_mg_per_ml) == ("ropivacaine", 2.0)
    assert cut.volume_ml == pytest.approx(volume)
    assert shown(case).infiltrate == Infiltrate("ropivacaine", 2.0, 70.0)


def test_side_of_the_flap():
    """Without a side the openings decide; a given side counts more than they do."""
    openings = [(90, 20, "left", 4), (95, 22, "left", 4), (80, 18, "right", 4)]
    assert right(a_case(openings=openings, side=None)).side == "left"
    assert right(a_case(openings=openings[2:], side=None)).side == "right"
    assert right(a_case(openings=openings, side="right")).side == "right"


def test_prescribed_marking():
    """A prescribed marking is shown as it is; what it leaves out is the technique's."""
    case = a_case(marking={"cranial_apex": "130 mm", "caudal_apex": "20 mm", "reach": "7 mm"})
    marking = shown(case)
    assert marking.outline == Outline(20.0, 10.0, 27.0, 130.0, 20.0)
    assert marking.side == "right"
    # The stitches are those that this outline asks for, not the fitted one's.
    edge = marking.outline.medial_edge
    assert edge / (marking.deep_stitches + 1) <= 12 < edge / marking.deep_stitches


def test_everything_prescribed():
    """Every part of a marking, section and closure can be prescribed, and the right one stays
    beside it.
    """
    case = a_case(
        marking={
            "cranial_apex": "130 mm",
            "caudal_apex": "20 mm",
            "reach": "7 mm",
            "offset": "12 mm",
            "caudal_shift": "-3 mm",
            "side": "left",
        },
        section={
            "depth": "21 mm",
            "lateral_cut": "90 deg",
            "medial_cut": "70 deg",
            "flap_thickness": "5 mm",
            "undermining": "11 mm",
        },
        closure={"deep_stitches": "4"},
    )
    marking = shown(case)
    assert marking.outline == Outline(12.0, -3.0, 19.0, 130.0, 20.0)
    assert marking.side == "left"
    assert (marking.depth, marking.lateral_cut_deg, marking.medial_cut_deg) == (21.0, 90.0, 70.0)
    assert (marking.flap_thickness, marking.undermining) == (5.0, 11.0)
    assert marking.deep_stitches == 4
    assert right(case).side == "right"
    assert right(case).deep_stitches > 4
    assert right(case).outline.offset == 20.0


def test_closure_prescribed_alone():
    """A case that prescribes its closure alone keeps the fitted outline."""
    case = a_case(closure={"deep_stitches": "0"})
    assert shown(case) == replace(right(case), deep_stitches=0)


def test_case_that_prescribes_nothing():
    """A case that prescribes nothing shows the right marking."""
    assert shown(a_case()) == right(a_case())


def test_prescribed_marking_tells_near_openings_by_itself():
    """Where no fit exists, near is told from the prescribed outline; where one does, from
    the fit.
    """
    marking = {"cranial_apex": "120 mm", "caudal_apex": "10 mm", "reach": "5 mm"}
    openings = [(65, 50, "right", 4), (65, 90, "right", 4)]
    low = a_case(pits=[(12, 2)], openings=openings, marking=marking)
    assert fit_case(low, a_technique()).outline is None
    assert shown(low).excised_openings == {0}
    assert right_marking(low, a_technique(), fit_case(low, a_technique())) is None


def test_prescribed_marking_keeps_what_the_pits_decided():
    """Where only the openings stand in the way of a fit, near stays told from the fit to
    the pits.
    """
    marking = {"cranial_apex": "180 mm", "caudal_apex": "70 mm", "reach": "5 mm"}
    case = a_case(pits=[(50, 2)], openings=[(34, 8, "left", 6)], marking=marking)
    assert fit_case(case, a_technique()).outline is None
    assert shown(case).excised_openings == {0}


def test_nothing_to_show():
    """Where no outline fits and none is prescribed there is no marking."""
    low = a_case(pits=[(12, 2)])
    assert case_marking(low, a_technique(), fit_case(low, a_technique())) is None


def test_redrawn_marking_is_stitched_anew():
    """The same decisions on a longer outline take more stitches, everything else unchanged."""
    marking = right(a_case())
    longer = marking.redrawn(replace(marking.outline, cranial_apex=180.0), a_technique())
    assert longer.deep_stitches > marking.deep_stitches
    assert longer.superficial_stitches > marking.superficial_stitches
    stitches = (marking.deep_stitches, marking.superficial_stitches)
    back = replace(longer, outline=marking.outline)
    assert replace(back, deep_stitches=stitches[0], superficial_stitches=stitches[1]) == marking
