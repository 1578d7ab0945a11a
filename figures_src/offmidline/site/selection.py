"""Which of many items a self-test holds: every model once, then evenly over cases and kinds.

Chance is a hash of a public seed, so that every build chooses the same.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import Final

from offmidline.site.cache import digest
from offmidline.site.drafts import ItemDraft

# Questions of a chapter's test and of the mixed one. Common practice, no source.
OF_A_CHAPTER: Final = 10
MIXED: Final = 20
# One template is asked so often in a test, with other cases. Common practice, no source.
OF_A_MODEL: Final = 3

# What is counted of the items chosen so far; the first decides, the next where it is a draw.
Share = Callable[[ItemDraft], str]


def of_chapter(items: Iterable[ItemDraft], seed: str) -> list[ItemDraft]:
    """Items of one chapter, every model among them."""
    known = list(items)
    count = max(OF_A_CHAPTER, len({item.model for item in known}))
    shares: tuple[Share, ...] = (_model, _case, _kind, _key)
    return balanced(known, count, shares, seed)


def mixed(items: Iterable[ItemDraft], seed: str) -> list[ItemDraft]:
    """Items over all chapters and cases."""
    return balanced(list(items), MIXED, (_topic, _model, _case, _kind, _key), seed)


def balanced(
    items: Sequence[ItemDraft], count: int, shares: Sequence[Share], seed: str
) -> list[ItemDraft]:
    """So many items, fewer where there are no more, each from what is chosen least so far.

    No two of them ask the same in the same words, and no model is asked too often.
    """
    left = sorted(items, key=lambda item: digest(seed, item.name))
    chosen: list[ItemDraft] = []
    counts = [Counter[str]() for _ in shares]
    models, said = Counter[str](), set[str]()
    while left and len(chosen) < count:
        item = min(left, key=lambda one: [c[s(one)] for c, s in zip(counts, shares, strict=True)])
        chosen.append(item)
        models[item.model] += 1
        said.add(item.says)
        for counter, share in zip(counts, shares, strict=True):
            counter[share(item)] += 1
        left = [one for one in left if one.says not in said and models[one.model] < OF_A_MODEL]
    return chosen


def _topic(item: ItemDraft) -> str:
    return item.topic


def _model(item: ItemDraft) -> str:
    return item.model


def _case(item: ItemDraft) -> str:
    return item.case


def _kind(item: ItemDraft) -> str:
    return item.kind


def _key(item: ItemDraft) -> str:
    """Where the key stands among so many options."""
    return item.place
