"""A technique's steps in words, as chapters list them and as checklists tick them.

A step's texts name the dimensions as chapters do (``{{ offset }}``); all else in them is plain
text.
"""

from __future__ import annotations

from pathlib import Path

from offmidline import messages
from offmidline.records import Fault, Phase, Step, Technique
from offmidline.site import escape
from offmidline.site.template import expand, unknown
from offmidline.site.values import technique_values


class Texts:
    """The texts of a technique's steps with its values put in.

    Attributes:
        path: the technique's file.
        faults: faults in the names of the texts asked for so far.
    """

    def __init__(self, technique: Technique, path: Path) -> None:
        self.path = path
        self.faults: list[Fault] = []
        self._values = technique_values(technique)

    def filled(self, text: str) -> str:
        """A text as HTML."""
        out, found = expand(text, str(self.path), self._look, escape.text)
        self.faults += [_in_file(fault, text, self.path) for fault in found]
        return out

    def _look(self, name: str) -> str:
        if name not in self._values:
            raise unknown(name, self._values)
        return self._values[name]


def steps_list(technique: Technique, phase: str, texts: Texts) -> str:
    """The steps of a phase as a numbered list.

    Raises UnknownNameError for a phase that the technique lacks.
    """
    phases = {one.phase: one for one in technique.steps}
    if phase not in phases:
        raise unknown(phase, phases)
    return _list(phases[phase], texts)


def details(step: Step, texts: Texts) -> str:
    """Why, when it is right, and what goes wrong, as far as the technique says it."""
    rows = [("why", step.why), ("check", step.check), ("wrong", step.wrong)]
    described = "".join(
        f'<div class="om-{name}"><dt>{messages.text(f"site.steps.{name}")}</dt>'
        f"<dd>{texts.filled(text)}</dd></div>"
        for name, text in rows
        if text is not None
    )
    return f"<dl>{described}</dl>"


def who(step: Step) -> str:
    """Who does it."""
    return f'<span class="om-who">{messages.section("site.steps.who")[step.who]}</span>'


def pause(step: Step) -> str:
    """The mark of a pause point; nothing for any other step."""
    if not step.pause:
        return ""
    return f'<span class="om-pause">{messages.text("site.steps.pause")}</span>'


def _list(phase: Phase, texts: Texts) -> str:
    items = "\n".join(
        f'<li id="step-{escape.attribute(step.step)}">'
        f'<div class="om-do">{texts.filled(step.do)}</div>'
        f'<div class="om-tags">{who(step)}{pause(step)}</div>{details(step, texts)}</li>'
        for step in phase.steps
    )
    return f'<ol class="om-steps">\n{items}\n</ol>'


def _in_file(fault: Fault, text: str, path: Path) -> Fault:
    """The fault of a text of the technique at its place in the technique's file.

    The reader has folded the text's lines, so that the place is sought by the name itself.
    """
    source = path.read_text("utf-8")
    at = source.find(text[fault.column - 1 :].partition("}}")[0])
    if at < 0:
        return Fault(str(path), 1, 1, fault.message)
    return Fault(
        str(path), source.count("\n", 0, at) + 1, at - source.rfind("\n", 0, at), fault.message
    )
