"""The page of one case, as a chapter is written: computed values put in, citations and figures
still named.

Made once for a case and a technique and kept; it imports the engine, which a build without changes
does not.
"""

from __future__ import annotations

from offmidline import messages
from offmidline.markup import bullets
from offmidline.pathway import Pathway, pathway
from offmidline.plan import CasePlan
from offmidline.records import Case, Technique
from offmidline.report import report
from offmidline.rules import judge
from offmidline.site import amounts, case_words, escape, pathway_words
from offmidline.site.drafts import CaseDraft
from offmidline.site.judgement import infiltration, rules_table
from offmidline.site.learning import conflict_sentence, learning_points, tags
from offmidline.site.measures import findings_table, measures_table

MARKING_VIEW = "marking"
SECTION_VIEW = "section"


def draft_case(planned: CasePlan, *, notes: bool) -> CaseDraft:
    """Put a planned case into words; ``notes`` adds the teaching notes."""
    case = planned.case
    verdicts = () if planned.shown is None else judge(planned.shown)
    way = pathway(planned)
    parts = [
        f"# {escape.text(case.title)}",
        _lead(case, planned.technique),
        _heading("findings"),
        case_words.findings(case),
        *_exercise(planned),
        *_plan_parts(planned, way),
        _heading("likely"),
        bullets(pathway_words.likely(planned, way)),
        _heading("learning"),
        bullets(learning_points(planned, verdicts), "om-learning"),
    ]
    if notes and case.teaching_notes:
        parts += [_heading("notes"), escape.text(case.teaching_notes)]
    return CaseDraft(
        page=amounts.kept_whole("\n\n".join(parts) + "\n"),
        report=report(planned),
        summary=case_words.patient(case),
        tags="; ".join(tags(planned, verdicts)),
        shows=[MARKING_VIEW] if planned.shown is None else [MARKING_VIEW, SECTION_VIEW],
    )


def _lead(case: Case, technique: Technique) -> str:
    link = f"[{escape.text(technique.title)}](../techniques/{technique.technique}.md)"
    sentences = [case_words.patient(case), case_words.history(case.history)]
    return " ".join(
        [*filter(None, sentences), messages.text("site.case.technique", technique=link)]
    )


def _exercise(planned: CasePlan) -> list[str]:
    """The way to the page on which the reader marks the case, if it can be marked."""
    return (
        []
        if planned.right is None
        else [messages.text("site.exercise.link", case=planned.case.case)]
    )


def _plan_parts(planned: CasePlan, way: Pathway) -> list[str]:
    case, plan = planned.case.case, planned.shown
    conflicts = [] if planned.right is not None else _conflicts(planned)
    before = [
        _heading("why_here"),
        bullets(pathway_words.why_here(planned, way)),
        _heading("consent"),
        bullets(pathway_words.consent(planned, way)),
    ]
    if plan is None:
        return [*before, _heading("no_marking"), *conflicts, _figure(case, MARKING_VIEW)]
    parts = [
        findings_table(plan),
        *before,
        _heading("prescribed" if planned.case.marking else "marking"),
        *conflicts,
        _figure(case, MARKING_VIEW),
        _heading("section"),
        _figure(case, SECTION_VIEW),
        *_closer_look(planned, way),
        _heading("measures"),
        measures_table(plan),
        _heading("rules"),
        rules_table(judge(plan)),
    ]
    dose = infiltration(plan)
    return [*parts, _heading("infiltration"), dose] if dose else parts


def _closer_look(planned: CasePlan, way: Pathway) -> list[str]:
    found = pathway_words.closer_look(planned, way)
    return [] if found is None else [_heading("closer_look"), *found]


def _figure(case: str, view: str) -> str:
    return f"{{{{ figure:{case}:{view} }}}}"


def _conflicts(planned: CasePlan) -> list[str]:
    sentences = [
        escape.text(sentence[:1].upper() + sentence[1:])
        for sentence in map(conflict_sentence, planned.conflicts)
    ]
    return [messages.text("conflicts.explanation"), bullets(sentences)]


def _heading(name: str) -> str:
    """A heading of the second level with an id that links can rely on."""
    return f"## {messages.text(f'site.headings.{name}')} {{ #{name.replace('_', '-')} }}"
