"""Scripts and their data on a page: found from where the page lies, and never read as markup."""

from __future__ import annotations

import gzip
import json
import re

from hypothesis import given
from hypothesis import strategies as st

from offmidline.site import scripts
from offmidline.site.template import expand

from .conftest import ROOT

# All scripts of the site, each packed by itself as it is sent, in bytes: a page on a phone must
# not wait for them.
MOST = 60_000


def test_scripts_are_found_from_the_page_and_in_order() -> None:
    """The way leads up from the page's folder; what is named twice is loaded once."""
    made = scripts.tags("exercises/plain.md", ["engine/a.js", "exercise/b.js", "engine/a.js"])
    assert made.splitlines() == [
        '<script defer src="../assets/engine/a.js"></script>',
        '<script defer src="../assets/exercise/b.js"></script>',
    ]
    assert 'src="assets/engine/a.js"' in scripts.tags("index.md", ["engine/a.js"])


def test_every_named_script_is_there_and_all_are_small() -> None:
    """What the lists name exists, and the whole of the site's scripts stays light."""
    assets = ROOT / "handbook" / "assets"
    for file in (*scripts.EXERCISE, *scripts.SANDBOX, *scripts.SELF_TEST):
        assert (assets / file).is_file(), file
    assert sum(len(gzip.compress(path.read_bytes())) for path in assets.rglob("*.js")) <= MOST


@given(
    st.recursive(
        st.text(alphabet="<>{}/!-\\\"'&script ü\u2028\n") | st.floats(allow_nan=False),
        lambda inner: (
            st.lists(inner, max_size=3) | st.dictionaries(st.text("<{a"), inner, max_size=3)
        ),
    )
)
def test_data_comes_back_and_is_no_markup(value: object) -> None:
    """Whatever stands in it, the data reads back as it was, ends no element and names nothing."""
    made = scripts.data("om-thing", value)
    found = re.fullmatch(r'<script type="application/json" class="om-thing">(.*)</script>', made)
    assert found is not None
    assert json.loads(found[1]) == value
    assert "<" not in found[1]
    assert "\n" not in made
    assert expand(made, "", lambda _: "") == (made, [])
