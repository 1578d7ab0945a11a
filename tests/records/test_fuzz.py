"""Whatever bytes come, the reader gives a record or faults that have a place in the file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offmidline.records import FaultsError
from offmidline.records.files import Loaded
from offmidline.records.reader import case_reading, sources_reading, technique_reading

SHIPPED = Path(__file__).parents[2] / "scenarios"
TECHNIQUE = (SHIPPED / "techniques" / "off-midline-flap.yml").read_bytes()
SOURCES = (SHIPPED / "sources.yml").read_bytes()

PIECES = st.sampled_from(
    [
        *(b"", b" ", b"  ", b"\n", b"\t", b"\r", b":", b": ", b"- ", b"-", b",", b"?", b"? "),
        *(b"{", b"}", b"[", b"]", b"'", b'"', b"#", b" #", b"&a ", b"*a", b"!!str ", b"!x", b"%"),
        *(
            b"@",
            b"|",
            b">",
            b"~",
            b"null",
            b"<<: ",
            b"---\n",
            b"...\n",
            b"\\",
            b"{a: b}",
            b"[a, b]",
        ),
        *(b"\xef\xbb\xbf", b"\xff", b"\x00", b"\xc2\x85", b"\xe2\x80\xa8", b"\xf0\x9f\x98\x80"),
        *(b"\xed\xa0\x80", b"mm", b" kg", b"nan", b"1e9", b"9" * 40, b",5", b"at", b"at: 3", b"no"),
    ]
)
CUTS = st.lists(
    st.tuples(st.floats(0, 1), st.integers(0, 12), PIECES | st.binary(max_size=4)),
    min_size=1,
    max_size=4,
)


def _spoilt(data: bytes, cuts) -> bytes:
    """The data with pieces taken out at some places and others put in."""
    for place, length, piece in cuts:
        start = int(place * len(data))
        data = data[:start] + piece + data[start + length :]
    return data


def _judge(reading, data: bytes, path: Path) -> None:
    try:
        reading.result()
    except FaultsError as error:
        faults = error.faults
    else:
        return
    assert faults
    text = data.removeprefix(b"\xef\xbb\xbf").decode("utf-8", errors="replace")
    lines = re.split(r"\r\n|\r|\n", text)
    for fault in faults:
        assert fault.path == str(path)
        assert 1 <= fault.line <= len(lines), fault
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1, fault
        assert str(fault).isprintable(), fault
        assert "see messages" not in fault.message, fault


@given(st.binary(max_size=200))
def test_any_bytes_are_a_record_or_faults(data):
    """Bytes without sense."""
    path = Path("x.yml")
    _judge(case_reading(Loaded(path, data), SHIPPED), data, path)


@given(st.text(alphabet="ab:-{}[],'\"#&*!|>?%@`~\n \t\\0", max_size=60))
def test_any_punctuation_is_a_record_or_faults(text):
    """The characters that mean something to YAML."""
    path, data = Path("x.yml"), text.encode()
    _judge(case_reading(Loaded(path, data), SHIPPED), data, path)


@settings(max_examples=400, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(cuts=CUTS)
def test_a_spoilt_case_is_a_record_or_faults(case_text, cuts):
    """A case with pieces cut out and put in."""
    path, data = Path("tile-setter.yml"), _spoilt(case_text.encode(), cuts)
    _judge(case_reading(Loaded(path, data), SHIPPED), data, path)


@settings(max_examples=40)
@given(cuts=CUTS)
def test_a_spoilt_technique_is_a_record_or_faults(cuts):
    """The same for the technique."""
    path, data = Path("off-midline-flap.yml"), _spoilt(TECHNIQUE, cuts)
    _judge(technique_reading(Loaded(path, data), SHIPPED), data, path)


@settings(max_examples=40)
@given(cuts=CUTS)
def test_spoilt_sources_are_records_or_faults(cuts):
    """The same for the sources."""
    path, data = Path("sources.yml"), _spoilt(SOURCES, cuts)
    _judge(sources_reading(Loaded(path, data)), data, path)


@pytest.mark.parametrize("at", range(0, 1000, 7))
def test_a_case_cut_off_anywhere_is_a_record_or_faults(case_text, at):
    """A file whose end is missing."""
    path, data = Path("tile-setter.yml"), case_text.encode()[:at]
    _judge(case_reading(Loaded(path, data), SHIPPED), data, path)
