"""The files that hold a package together: the paper as a test, and the list of all files."""

from __future__ import annotations

import xml.etree.ElementTree as ET  # our own elements are written, never a stranger's read
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from offmidline import messages
from offmidline.exam.form import Form
from offmidline.exam.qti.frame import NAMESPACE
from offmidline.exam.qti.images import Image
from offmidline.exam.qti.markup import document, element, paragraphs
from offmidline.exam.qti.processing import SCORE

MANIFEST: Final = "imsmanifest.xml"
PAPER: Final = "paper.xml"
LEFT_OUT: Final = "left-out.txt"

_PACKAGING: Final = "http://www.imsglobal.org/xsd/imscp_v1p1"
_ITEM_TYPE: Final = "imsqti_item_xmlv2p2"
_TEST_TYPE: Final = "imsqti_test_xmlv2p2"
_SECONDS_A_MINUTE: Final = 60
_PRINTED: Final = "PAPER"
_BEYOND: Final = "BEYOND"
_TOTAL: Final = "TOTAL"


@dataclass(frozen=True)
class Question:
    """A question of the package with the pictures that it shows.

    Attributes:
        name: of its file.
        identifier: no two questions of any paper share it.
    """

    name: str
    identifier: str
    root: ET.Element
    images: tuple[Image, ...]

    @property
    def path(self) -> str:
        """Where it lies in the package."""
        return f"items/{self.name}.xml"


def test_of(form: Form, printed: Sequence[Question], beyond: Sequence[Question]) -> bytes:
    """The questions of the printed paper, whose marks are added up, and those beyond it."""
    parts = [_part(_PRINTED, title_of(form), _told_first(), printed, form.minutes)]
    if beyond:
        title = messages.text("exam.package.beyond.title")
        told = [messages.text("exam.package.beyond.told")]
        parts.append(_part(_BEYOND, title, told, beyond, None))
    none = element("defaultValue", {}, element("value", {}, "0"))
    marks = {"identifier": _TOTAL, "cardinality": "single", "baseType": "float"}
    scores = {"sectionIdentifier": _PRINTED, "variableIdentifier": SCORE}
    root = element(
        "assessmentTest",
        {
            "xmlns": NAMESPACE,
            "identifier": _name(form),
            "title": title_of(form),
        },
        element("outcomeDeclaration", {**marks, "normalMaximum": str(len(printed))}, none),
        *parts,
        element(
            "outcomeProcessing",
            {},
            element(
                "setOutcomeValue",
                {"identifier": _TOTAL},
                element("sum", {}, element("testVariables", scores)),
            ),
        ),
    )
    return document(root)


def title_of(form: Form) -> str:
    """What the form is called; a specimen says that it is one."""
    key = "exam.paper.title_specimen" if form.specimen else "exam.paper.title"
    return messages.text(key, title=form.title, form=form.form)


def _name(form: Form) -> str:
    kind = ("specimen",) if form.specimen else ()
    return "-".join(("paper", form.paper, form.form, *kind))


def _told_first() -> list[str]:
    """What a candidate is told before the first question."""
    shared = ("exam.paper.instructions.once", "exam.paper.instructions.invented")
    own = messages.section("exam.package.instructions")
    return [*map(messages.text, shared), *own.values(), messages.text("caution.text")]


def _part(
    identifier: str,
    title: str,
    told: Iterable[str],
    questions: Iterable[Question],
    minutes: int | None,
) -> ET.Element:
    """A part of the test, which a candidate hands in as a whole; no feedback is shown in it."""
    control = {
        "maxAttempts": "1",
        "showFeedback": "false",
        "showSolution": "false",
        "allowReview": "true",
        "allowSkipping": "true",
    }
    limits = []
    if minutes is not None:
        limits = [element("timeLimits", {"maxTime": str(minutes * _SECONDS_A_MINUTE)})]
    return element(
        "testPart",
        {
            "identifier": f"PART-{identifier}",
            "navigationMode": "nonlinear",
            "submissionMode": "simultaneous",
        },
        element("itemSessionControl", control),
        *limits,
        element(
            "assessmentSection",
            {"identifier": identifier, "title": title, "visible": "true"},
            element("rubricBlock", {"view": "candidate"}, *paragraphs(told)),
            *(
                element("assessmentItemRef", {"identifier": one.identifier, "href": one.path})
                for one in questions
            ),
        ),
    )


def manifest_of(form: Form, questions: Sequence[Question]) -> bytes:
    """Every file of the package, under the question or the paper that needs it."""
    resources = [_resource(one) for one in questions]
    needed = (element("dependency", {"identifierref": _resource_name(one)}) for one in questions)
    paper = element(
        "resource",
        {"identifier": "RES-paper", "type": _TEST_TYPE, "href": PAPER},
        *(element("file", {"href": path}) for path in (PAPER, LEFT_OUT)),
        *needed,
    )
    root = element(
        "manifest",
        {"xmlns": _PACKAGING, "identifier": f"MANIFEST-{_name(form)}"},
        element(
            "metadata",
            {},
            element("schema", {}, "QTIv2.2 Package"),
            element("schemaversion", {}, "1.0.0"),
        ),
        element("organizations"),
        element("resources", {}, *resources, paper),
    )
    return document(root)


def _resource_name(one: Question) -> str:
    return f"RES-{one.identifier}"


def _resource(one: Question) -> ET.Element:
    paths = dict.fromkeys([one.path, *(image.path for image in one.images)])
    return element(
        "resource",
        {"identifier": _resource_name(one), "type": _ITEM_TYPE, "href": one.path},
        *(element("file", {"href": path}) for path in paths),
    )
