"""What is said about the findings of a case."""

from __future__ import annotations

from offmidline import messages
from offmidline.figures.page.board import Kind
from offmidline.figures.words import Words, conflict_words, isolated, number, say
from offmidline.plan import CasePlan


def describe(planned: CasePlan) -> Words:
    """Title, description and caption of the findings."""
    findings = planned.case.findings
    return Words(
        title=say("findings.title", case=isolated(planned.case.title)),
        description=describe_found(planned),
        caption=say(
            "findings.caption",
            side=say(planned.case.flap_side),
            pits=_count("pit", len(findings.pits)),
            openings=_count("opening", len(findings.openings)),
            lowest=number(min(pit.at for pit in findings.pits)),
        ),
    )


def describe_found(planned: CasePlan) -> str:
    """What was found, in sentences; where no marking exists, also which constraints conflict."""
    findings = planned.case.findings
    pits = (
        say("findings.pit", at=number(pit.at), diameter=number(pit.diameter))
        for pit in findings.pits
    )
    openings = (
        say(
            "findings.opening",
            at=number(one.at),
            lateral=number(one.lateral),
            side=say(one.side),
            diameter=number(one.diameter),
        )
        for one in findings.openings
    )
    conflict: list[str] = []
    if planned.shown is None:
        conflict += [messages.text("conflicts.explanation")]
        conflict += [f"{line}." for line in conflict_words(planned.conflicts)]
    return say(
        "findings.description",
        side=say(planned.case.flap_side),
        pits=" ".join(pits),
        openings=" ".join(openings) or say("marking.no_openings"),
        conflict=" ".join(conflict),
    ).strip()


def _count(kind: Kind, count: int) -> str:
    if count > 1:
        return say(f"findings.{kind}s", count=count)
    return say(f"findings.one_{kind}" if count else f"findings.no_{kind}")
