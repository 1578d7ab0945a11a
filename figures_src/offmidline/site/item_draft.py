"""An item as HTML: the question, and in an element to open its answer with what each wrong answer
stands for.

Whole without a script. handbook/assets/selftest/ makes a form of it and takes its feedback from the
answer that stands here. Pictures and citations are template names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from typing import Any, Final

from offmidline import messages
from offmidline.items.item import CHOSEN, Item, Option, Picture
from offmidline.items.models import MODELS
from offmidline.items.shown import number, unit_text
from offmidline.site import amounts, escape
from offmidline.site.cache import digest
from offmidline.site.drafts import ItemDraft
from offmidline.site.standing import standing

_NAME_LENGTH: Final = 12


def draft_item(item: Item) -> dict[str, Any]:
    """The draft of an item, as the cache keeps it."""
    chosen = item.kind in CHOSEN
    return asdict(
        ItemDraft(
            name=item_name(item.model, item.case),
            model=item.model,
            case=item.case,
            topic=item.topic,
            kind=item.kind,
            place=f"{item.key}/{len(item.options)}" if chosen else "",
            says=digest(item.stem, item.lead_in, str(item.pictures), str(_key(item))),
            title=MODELS[item.model].title,
            html=amounts.kept_whole(f"{question(item, of_case(item))}\n{_answer(item)}"),
            marks=_marks(item),
        )
    )


def item_name(model: str, case: str) -> str:
    """What a browser knows the item of a model and a case by."""
    return digest(model, case)[:_NAME_LENGTH]


def _marks(item: Item) -> dict[str, Any]:
    if item.numeric is not None:
        numeric = item.numeric
        return {
            "value": numeric.value,
            "tolerance": numeric.tolerance,
            "slips": [slip.value for slip in numeric.slips],
            "unit": unit_text(numeric.unit).strip(),
        }
    return {"shown": list(item.shown)} if item.kind == "order" else {"key": item.key}


def _key(item: Item) -> object:
    if item.numeric is not None:
        return item.numeric.value
    texts = [option.text for option in item.options]
    return texts if item.kind == "order" else item.options[item.key].picture or texts[item.key]


def of_case(item: Item) -> str:
    """The name under which the pictures of an item are looked up that shows its case as it is."""
    return f"picture:{item.case}"


def question(item: Item, whose: str) -> str:
    """What is asked: stem, pictures, lead-in and options; ``whose`` is how the names of its
    pictures begin.
    """
    parts = [f'<p class="om-item-stem">{escape.text(item.stem)}</p>']
    parts += [_picture(whose, picture) for picture in item.pictures]
    parts.append(f'<p class="om-item-asks">{escape.text(item.lead_in)}</p>')
    if item.kind == "order":
        parts.append(_listed("ul", "om-item-options", map(_text, _as_shown(item))))
    elif item.kind in CHOSEN:
        options = (_option(whose, option) for option in item.options)
        parts.append(_listed("ul", "om-item-options", options))
    return "\n".join(parts)


def _option(whose: str, option: Option) -> str:
    picture = "" if option.picture is None else _picture(whose, option.picture)
    return f"<span>{_text(option)}</span>{picture}"


def _as_shown(item: Item) -> list[Option]:
    return [item.options[at] for at in item.shown]


def _picture(whose: str, picture: Picture) -> str:
    way = ":".join(filter(None, (whose, picture.view, picture.part)))
    return f"{{{{ {way} }}}}"


def _answer(item: Item) -> str:
    summary = f"<summary>{_word('answer')}</summary>"
    return f'<details class="om-answer">{summary}\n{worked_answer(item)}\n</details>'


def worked_answer(item: Item) -> str:
    """The key, why it is so, and what each wrong answer stands for."""
    parts = [_right(item), f'<p class="om-item-because">{escape.text(item.explanation)}</p>']
    stands = item.standing
    known = standing(stands.status, stands.source)
    parts.append(
        f'<p class="om-item-rule"><b>{escape.text(stands.title)}.</b>'
        f" {escape.text(stands.why)} {known}</p>"
    )
    return "\n".join([*parts, *_wrong(item)])


def _right(item: Item) -> str:
    if item.kind == "order":
        entries = (_entry(at, one) for at, one in enumerate(item.options))
        return f"<p><b>{_word('right_order')}</b></p>\n<ol>\n" + "\n".join(entries) + "\n</ol>"
    if item.numeric is not None:
        value = number(item.numeric.value, item.numeric.unit, item.numeric.decimals)
        key, why = escape.text(value), escape.text(item.numeric.why)
        more = f' <span class="om-reason">{why}</span>'
    else:
        key, more = _text(item.options[item.key]), ""
    right = f'<b>{_word("right")} <span class="om-item-value">{key}</span></b>'
    return f'<p class="om-item-key">{right}{more}</p>'


def _entry(at: int, option: Option) -> str:
    """An entry at its place, and why it stands there."""
    why = f' <span class="om-reason">{escape.text(option.feedback)}</span>'
    return (
        f'<li data-answer="{at}"><span>{_text(option)}</span>{why if option.feedback else ""}</li>'
    )


def _wrong(item: Item) -> list[str]:
    """What each wrong answer stands for, known to the script by its position."""
    if item.kind == "order":
        return []
    options: Sequence[Option] = item.options if item.numeric is None else item.numeric.slips
    entries = "\n".join(
        f'<li data-answer="{at}">{_named(one)} {escape.text(one.feedback)}</li>'
        for at, one in enumerate(options)
        if one.mistake
    )
    if not entries:
        return []
    heading = f'<p class="om-list-head"><b>{_word("wrong")}</b></p>'
    return [heading, f'<ul class="om-item-wrong">\n{entries}\n</ul>']


def _named(option: Option) -> str:
    """A wrong answer and what it is called, once where that is the same."""
    title = f"<b>{escape.text(option.title)}.</b>"
    if option.text == option.title:
        return title
    return f'<span class="om-item-text">{_text(option)}:</span> {title}'


def _text(option: Option) -> str:
    return escape.text(option.text)


def _listed(kind: str, name: str, entries: Iterable[str]) -> str:
    inner = "\n".join(f"<li>{entry}</li>" for entry in entries)
    return f'<{kind} class="{name}">\n{inner}\n</{kind}>'


def _word(name: str) -> str:
    return messages.text(f"site.self_test.{name}")
