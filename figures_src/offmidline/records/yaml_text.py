"""Plain text to a tree with the place of every part; the faults of its form.

Only a plain part of YAML is accepted: mappings with text keys, lists and scalars. Every scalar
stays text, whatever it looks like, until a typed field converts it; a quoted one stays marked as
quoted. Lines and columns count from 1, columns in characters.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import yaml

from offmidline.records.document import START, Document, Mark, Place, Quoted, Tree, Way
from offmidline.records.faults import shown
from offmidline.records.plain_text import plain_text
from offmidline.records.yaml_syntax import in_plain_words

MAX_BYTES: Final = 256 * 1024
MAX_DEPTH: Final = 12
MAX_NODES: Final = 20_000

_NULLS: Final = frozenset({"", "~", "null", "Null", "NULL"})
_TAB_IN_INDENTATION: Final = re.compile(r"^[ \-]*\t[ \t\-]*[^\s#]", re.MULTILINE)
_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_document(data: bytes, path: Path) -> Document:
    """Read the bytes of one file. Never raises: what is wrong is in the document's faults."""
    document = Document(path)
    if len(data) > MAX_BYTES:
        document.fault(START, "too_large", kilobytes=MAX_BYTES // 1024)
        return document
    text = plain_text(data, document)
    # With a tab in its indentation the structure of a file is anybody's guess.
    if text is not None and not _TAB_IN_INDENTATION.search(text):
        _Builder(document, text.replace("\t", " ")).build()
    return document


class _StopReadingError(Exception):
    """The rest of the file is not worth reading."""


class _Builder:
    """Build the tree from YAML's events: unlike nodes, they still show anchors and aliases."""

    def __init__(self, document: Document, text: str) -> None:
        self.document = document
        self.text = text
        self.line_lengths = _line_lengths(text)
        self.nodes = 0
        self.events: Iterator[yaml.Event] = yaml.parse(text, Loader=_LOADER)

    def build(self) -> None:
        """Fill the document: tree, places, faults."""
        try:
            self._documents()
        except yaml.YAMLError as error:
            self.document.tree = None
            complaint = in_plain_words(error, self.text)
            mark = self._inside(complaint.line, complaint.column)
            self.document.fault(mark, complaint.key, **complaint.values)
        except _StopReadingError:
            self.document.tree = None

    def _inside(self, line: int, column: int) -> Mark:
        """A position that exists: YAML places some parts beyond the end of the text."""
        line = min(line, len(self.line_lengths))
        return Mark(line, min(column, self.line_lengths[line - 1] + 1))

    def _documents(self) -> None:
        found = 0
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                found += 1
                if found > 1:
                    self.document.fault(self._mark(event), "several_documents")
                    return
            elif isinstance(event, yaml.NodeEvent):
                self.document.tree = self._value(event, (), None)
        if self.document.tree is None and not self.document.faults:
            self.document.fault(START, "empty_file")

    def _mark(self, event: yaml.Event) -> Mark:
        start = event.start_mark
        return self._inside(start.line + 1, start.column + 1) if start is not None else START

    def _value(self, event: yaml.Event, way: Way, key: Mark | None) -> Tree:
        """The part that begins with an event; what is refused is noted and read as None."""
        mark = self._mark(event)
        self._count(mark)
        self.document.places[way] = Place(key, mark)
        self._judge_form(event, mark)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, way, mark)
        if isinstance(event, yaml.CollectionStartEvent):
            if len(way) >= MAX_DEPTH:
                self.document.refused.add(way)
                self._too_deep(mark)
                self._skip(event)
                return None
            return (
                self._mapping(way) if isinstance(event, yaml.MappingStartEvent) else self._list(way)
            )
        self.document.refused.add(way)  # an alias
        return None

    def _too_deep(self, mark: Mark) -> None:
        self.document.fault(mark, "too_deep", levels=MAX_DEPTH)

    def _count(self, mark: Mark) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.document.fault(mark, "too_many_parts", limit=MAX_NODES)
            raise _StopReadingError

    def _judge_form(self, event: yaml.Event, mark: Mark) -> None:
        """Note aliases, anchors and tags, which this project leaves out of YAML."""
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if anchor is not None:
            key = "alias" if isinstance(event, yaml.AliasEvent) else "anchor"
            self.document.fault(mark, key, name=shown(anchor))
        if tag is not None:
            self.document.fault(mark, "tag", tag=shown(_written_tag(tag)))

    def _scalar(self, event: yaml.ScalarEvent, way: Way, mark: Mark) -> str | None:
        if event.style:
            return Quoted(event.value)
        if event.value in _NULLS:
            if way and way not in self.document.refused:
                self._null(event.value, way, mark)
            self.document.refused.add(way)
            return None
        return str(event.value)

    def _null(self, value: str, way: Way, mark: Mark) -> None:
        """Note a missing value: at what stands for it, else at the key."""
        if not isinstance(way[-1], str):
            self.document.fault(mark, "no_item")
            return
        at = self.document.places[way].key
        if value or at is None:
            self.document.fault(mark, "null_value", key=shown(way[-1]), value=value)
        else:
            key = "comma_in_number" if way[-1][:1].isdigit() else "no_value"
            self.document.fault(at, key, key=shown(way[-1]))

    def _list(self, way: Way) -> list[Tree]:
        items: list[Tree] = []
        for event in self.events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.append(self._value(event, (*way, len(items)), None))
        return items

    def _mapping(self, way: Way) -> dict[str, Tree]:
        entries: dict[str, Tree] = {}
        for event in self.events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            mark = self._mark(event)
            self._count(mark)
            key = self._key(event, mark)
            value = next(self.events)
            if key is None:
                self._skip(value)
            elif key in entries:
                first = self.document.places[(*way, key)].key
                self.document.fault(
                    mark, "duplicate_key", key=shown(key), first=first.line if first else 0
                )
                self._skip(value)
            else:
                entries[key] = self._value(value, (*way, key), mark)
        return entries

    def _key(self, event: yaml.Event, mark: Mark) -> str | None:
        """The text of a key, or None where it is refused, which is noted."""
        self._judge_form(event, mark)
        if not isinstance(event, yaml.ScalarEvent):
            if not isinstance(event, yaml.AliasEvent):
                self.document.fault(mark, "key_not_text")
            self._skip(event)
            return None
        if not event.style and event.value == "<<":
            self.document.fault(mark, "merge_key")
            return None
        if not event.style and event.value in _NULLS:
            self.document.fault(mark, "key_missing")
            return None
        return str(event.value)

    def _skip(self, event: yaml.Event) -> None:
        """Read over a part without keeping it."""
        depth = 0
        while True:
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > MAX_DEPTH:
                    self._too_deep(self._mark(event))
                    raise _StopReadingError
            elif isinstance(event, yaml.CollectionEndEvent):
                depth -= 1
            if depth == 0:
                return
            event = next(self.events)
            self._count(self._mark(event))


def _line_lengths(text: str) -> list[int]:
    """The characters in each line; the empty piece after the last line end is no line."""
    lengths = [len(line) for line in text.split("\n")]
    if len(lengths) > 1 and not lengths[-1]:
        lengths.pop()
    return lengths


def _written_tag(tag: str) -> str:
    """A tag as people write it."""
    standard = "tag:yaml.org,2002:"
    return tag.replace(standard, "!!", 1) if tag.startswith(standard) else tag
