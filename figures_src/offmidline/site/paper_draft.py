"""A paper as its examiners read it: blueprint, history, and every question beside its key.

It imports the engine, which a build without changes does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict

from offmidline import figures, markup, messages
from offmidline.evidence import Proportion, wilson
from offmidline.exam.flags import INFORMATIVE_FROM, UNSTABLE_BELOW, sample
from offmidline.exam.form import Form
from offmidline.exam.history import History, histories
from offmidline.exam.letters import right_answer
from offmidline.exam.told import of, told, within
from offmidline.items.item import Item, Picture
from offmidline.items.models import MODELS
from offmidline.markup import Group
from offmidline.plan import CasePlan
from offmidline.records import Paper
from offmidline.site import escape, reading
from offmidline.site.drafts import PaperDraft
from offmidline.site.item_draft import question, worked_answer


def draft_paper(paper: Paper, forms: Sequence[Form]) -> PaperDraft:
    """The pages of a paper with its forms, of which there is one at least."""
    standing = _standing(forms[0])
    return PaperDraft(
        summary=_facts(paper),
        page="\n\n".join(
            [standing, _facts(paper), _drawn(paper), _blueprint(paper), *_history(paper)]
        ),
        forms=[(form.form, f"{standing}\n\n{_questions(form)}") for form in forms],
        pictures={way: words for form in forms for way, words in _pictures(form)},
    )


def _standing(form: Form) -> str:
    """Whether it is the real paper, or a specimen that anybody with the project can make."""
    name = "specimen" if form.specimen else "real"
    return f'<p class="om-paper-standing"><b>{_say(name)}</b> {_say(f"{name}_why")}</p>'


def _facts(paper: Paper) -> str:
    return _say(
        "facts", questions=paper.questions, minutes=paper.minutes, forms=", ".join(paper.forms)
    )


def _drawn(paper: Paper) -> str:
    """From what the questions are drawn."""
    cases = (f'<a href="../cases/{case}.md">{escape.text(case)}</a>' for case in paper.cases)
    technique = f'<a href="../techniques/{paper.technique}.md">{escape.text(paper.technique)}</a>'
    seed = escape.text(paper.seed)
    words = _say("drawn", cases=", ".join(cases), technique=technique, seed=seed)
    return f"<p>{words}</p>"


def _blueprint(paper: Paper) -> str:
    kinds = messages.section("site.papers.kinds")
    rows = [
        (
            f'<a href="../{row.topic}.md">{escape.text(row.topic)}</a>',
            kinds[row.kind],
            str(row.number),
            _asked_share(row.hardest, row.easiest),
        )
        for row in paper.blueprint
    ]
    rows.append((_say("blueprint.all"), "", str(paper.questions), ""))
    return f"## {_say('blueprint.title')} {{ #blueprint }}\n\n" + _table("blueprint", rows)


def _asked_share(hardest: float | None, easiest: float | None) -> str:
    if hardest is None and easiest is None:
        return _say("blueprint.any")
    low, high = (0.0 if hardest is None else hardest), (1.0 if easiest is None else easiest)
    return _say("blueprint.between", low=told(low), high=told(high))


def _history(paper: Paper) -> Iterator[str]:
    yield f"## {_say('history.title')} {{ #history }}"
    if not paper.history:
        yield _say("history.none")
        return
    yield _say("history.lead", few=INFORMATIVE_FROM, some=UNSTABLE_BELOW)
    groups = [Group(_model(one.model), _sittings(one)) for one in histories(paper)]
    yield _table_of("history", groups)


def _sittings(history: History) -> list[Sequence[str]]:
    rows = [
        _share(
            escape.text(one.sitting),
            one.right,
            one.candidates,
            wilson(one.right, one.candidates),
        )
        for one in history.sittings
    ]
    pooled = _share(_say("history.pooled"), history.right, history.candidates, history.pooled)
    return [*rows, pooled]


def _share(name: str, right: int, candidates: int, share: Proportion) -> Sequence[str]:
    carries = _say(f"history.samples.{sample(candidates)}")
    return name, of(right, candidates), within(share), carries


def _model(name: str) -> str:
    """What a model asks; its name alone where there is none of it any more."""
    title = MODELS[name].title if name in MODELS else ""
    return f"{escape.text(title)} <code>{escape.text(name)}</code>".strip()


def _questions(form: Form) -> str:
    return "\n".join(_question(form, number, item) for number, item in enumerate(form.items, 1))


def _question(form: Form, number: int, item: Item) -> str:
    """A question, beside it its key, and below both the family that it belongs to."""
    anchor = f"question-{number}"
    title = messages.text("site.self_test.question", number=number)
    topic = f'<a href="../../{item.topic}.md">{escape.text(item.topic)}</a>'
    kind = messages.section("site.papers.kinds")[item.kind]
    case = f'<a href="../../cases/{item.case}.md">{escape.text(item.case)}</a>'
    family = _say("family", model=_model(item.model), case=case, ident=escape.text(item.ident))
    asks = question(item, f"posed:{form.paper}:{form.form}:{number}")
    key = _say("key", answer=escape.text(right_answer(item)))
    return "\n".join(
        [
            f'{reading.QUESTION} id="{anchor}" aria-labelledby="{anchor}-name">',
            f'<h2 class="om-item-name" id="{anchor}-name">{title}</h2>',
            f'<p class="om-item-topic">{topic}, {kind}</p>',
            f'<div class="om-posed">\n<div>\n{asks}\n</div>',
            f'<div class="om-posed-key">\n<h3>{key}</h3>\n{worked_answer(item)}\n</div>\n</div>',
            f'<p class="om-posed-family">{family}</p>',
            "</section>",
        ]
    )


def _pictures(form: Form) -> Iterator[tuple[str, dict[str, str]]]:
    """The words of every picture of a form's questions, by its way."""
    for number, (item, planned) in enumerate(zip(form.items, form.plans, strict=True), 1):
        drawn = [*item.pictures, *(one.picture for one in item.options if one.picture is not None)]
        for picture in drawn:
            ways = (form.form, str(number), picture.view, picture.part)
            yield ":".join(filter(None, ways)), _picture_words(planned, picture)


def _picture_words(planned: CasePlan, picture: Picture) -> dict[str, str]:
    view = figures.VIEWS[picture.view]
    return {
        "name": view.part_title(picture.part),
        **asdict(view.words(planned, picture.part)),
    }


def _table(name: str, rows: Sequence[Sequence[str]]) -> str:
    return _table_of(name, [Group("", rows)])


def _table_of(name: str, groups: Iterable[Group]) -> str:
    heads = messages.section(f"site.papers.{name}")["columns"]
    return markup.table(f"paper-{name}", _say(f"{name}.caption"), heads, groups, "om-lookup")


def _say(name: str, /, **values: object) -> str:
    return messages.text(f"site.papers.{name}", **values)
