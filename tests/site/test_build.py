"""The site as MkDocs builds it."""

from __future__ import annotations

import hashlib
import posixpath
import shutil
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from mkdocs.exceptions import Abort, BuildError

from offmidline.cli import main

from .conftest import Project, copy_of_shipped
from .pages import PageReader, every_byte, pages

pytestmark = pytest.mark.site


@pytest.fixture(scope="module")
def built(shipped_site: Path) -> dict[str, PageReader]:
    """The pages of the handbook as it ships."""
    return pages(shipped_site)


def test_the_shipped_handbook_builds_strictly(shipped_site: Path) -> None:
    """The shipped chapters and cases build without a warning."""
    assert (shipped_site / "index.html").exists()
    assert (shipped_site / "cases" / "ferry-deckhand.html").exists()


def test_no_id_is_given_twice_on_a_page(built: dict[str, PageReader]) -> None:
    """Ids are unique on every page, those inside the drawings included."""
    for path, page in built.items():
        twice = [name for name, count in page.ids.items() if count > 1]
        assert not twice, f"{path}: {twice}"


def test_every_internal_link_resolves(built: dict[str, PageReader], shipped_site: Path) -> None:
    """Every link inside the site leads to a file, and to an id on it where it names one."""
    for path, page in built.items():
        if path == "404.html":  # its links begin at the server's top
            continue
        for link in page.links:
            parts = urlsplit(link)
            if parts.scheme or parts.netloc:
                continue
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), parts.path))
            target = path if not parts.path else unquote(target)
            assert (shipped_site / target).is_file(), f"{path}: {link}"
            if parts.fragment:
                assert parts.fragment in built[target].ids, f"{path}: {link}"


def test_every_page_has_one_first_heading(built: dict[str, PageReader]) -> None:
    """A page has exactly one heading of the first level."""
    for path, page in built.items():
        assert len(page.all("h1")) == 1, path


def test_every_page_has_the_caution(built: dict[str, PageReader], shipped_site: Path) -> None:
    """No page is without the caution, the one for wrong addresses included."""
    for path in built:
        text = (shipped_site / path).read_text("utf-8")
        assert "Not for planning an operation on a patient" in text, path
        assert 'class="om-caution"' in text, path


def test_tables_and_figures_are_told_to_those_who_do_not_see(
    built: dict[str, PageReader],
) -> None:
    """Tables have scopes and a region to scroll that is named by their caption or by their heading;
    figures a role, words, a caption.
    """
    for path, page in built.items():
        tables = page.all("table")
        assert all(head.get("scope") for head in page.all("th")), path
        regions = [one for one in page.all("div") if one.get("role") == "region"]
        assert len(regions) == len(tables), path
        named = [one for one in regions if one.get("aria-label")]
        assert len(page.all("caption")) + len(named) == len(tables), path
        assert all(one.get("tabindex") == "0" for one in regions), path
        drawings = [one for one in page.all("svg") if one.get("role") == "img"]
        assert len(drawings) == len(page.all("figure")) == len(page.all("figcaption")), path
        for drawing in drawings:
            for name in str(drawing["aria-labelledby"]).split():
                assert name in page.ids, f"{path}: {name}"


def test_nothing_is_fetched_from_elsewhere(
    built: dict[str, PageReader], shipped_site: Path
) -> None:
    """No page and no style sheet names a file of another host."""
    for path, page in built.items():
        away = [one for one in page.requests if urlsplit(one).netloc]
        assert not away, f"{path}: {away}"
    for sheet in shipped_site.rglob("*.css"):
        text = sheet.read_text("utf-8").replace(" ", "")
        assert "url(http" not in text, sheet
        assert "@import" not in text, sheet


def test_drawings_are_not_searched(shipped_site: Path) -> None:
    """The search index holds the words of the pages and nothing of the drawings."""
    index = (shipped_site / "search" / "search_index.json").read_text("utf-8")
    assert "secondary opening" in index
    assert "<svg" not in index
    assert "offmidline figure" not in index


def test_nothing_of_an_examiners_record_is_published(shipped_site: Path) -> None:
    """The shipped cases and papers of examiners are in no file of the trainees' handbook."""
    scenarios = str(Path(__file__).parents[2] / "scenarios")
    assert main(["leaks", str(shipped_site), "--scenarios", scenarios]) == 0


def test_two_clean_builds_are_byte_identical(shipped_site: Path, tmp_path: Path) -> None:
    """Another clean build, without a cache and at another place, has the same bytes."""
    other = copy_of_shipped(tmp_path).build()
    assert digests(shipped_site) == digests(other)


def test_a_build_from_the_cache_is_byte_identical(shipped: Project, shipped_site: Path) -> None:
    """What the cache gives is what was built first."""
    assert digests(shipped.build("again")) == digests(shipped_site)


def test_building_writes_nothing_into_the_handbook(small: Project) -> None:
    """Chapters and scenarios stay as they were: a change would make `serve` build for ever."""
    before = digests(small.handbook), digests(small.scenarios)
    small.build()
    assert (digests(small.handbook), digests(small.scenarios)) == before


def test_faults_stop_the_build_with_their_places(
    small: Project, caplog: pytest.LogCaptureFixture
) -> None:
    """Faults of a case are told with file, line and column, all of them, without a traceback."""
    text = (small.cases / "plain.yml").read_text("utf-8")
    broken = text.replace("82 kg", "82").replace("cavity_depth", "cavity_deep")
    (small.cases / "plain.yml").write_text(broken, "utf-8")
    with pytest.raises((Abort, BuildError)):
        small.build()
    told = "\n".join(record.getMessage() for record in caplog.records)
    path = small.cases / "plain.yml"
    assert f"{path}:5:" in told
    assert f"{path}:9:" in told
    assert "Traceback" not in told


def test_an_unknown_name_stops_the_build(small: Project, caplog: pytest.LogCaptureFixture) -> None:
    """A chapter with an unknown name does not build, and the message has the place."""
    (small.handbook / "index.md").write_text("# Start\n\nsee {{ ofset }}\n", "utf-8")
    with pytest.raises((Abort, BuildError)):
        small.build()
    told = "\n".join(record.getMessage() for record in caplog.records)
    assert f"{small.handbook / 'index.md'}:3:5: there is no ofset: did you mean offset?" in told


def test_a_link_to_nowhere_stops_the_build(small: Project) -> None:
    """A chapter that links to a page or an anchor that is not there does not build."""
    (small.handbook / "index.md").write_text("# Start\n\n[x](cases/gone.md)\n", "utf-8")
    with pytest.raises(Abort):
        small.build()
    (small.handbook / "index.md").write_text("# Start\n\n[x](cases/plain.md#gone)\n", "utf-8")
    with pytest.raises(Abort):
        small.build()


def test_a_broken_cache_is_mended(small: Project) -> None:
    """Damaged entries are worked out again, and the site is the same."""
    first = digests(small.build())
    for entry in small.cache.rglob("*.json"):
        entry.write_bytes(entry.read_bytes()[:-7])
    assert digests(small.build()) == first


def test_editing_opens_the_data(small: Project) -> None:
    """The edit address of a case page is its YAML file."""
    from mkdocs.config import load_config
    from mkdocs.structure.files import get_files

    small.build()
    config = load_config(str(small.top / "mkdocs.yml"))
    config = config.plugins.on_config(config)
    files = config.plugins.on_files(get_files(config), config=config)
    case = files.get_file_from_path("cases/plain.md")
    assert case is not None
    assert case.edit_uri == "../scenarios/cases/plain.yml"


def test_one_process_sees_what_changed(small: Project) -> None:
    """Built again in the same process, as `serve` does, the pages follow a changed case."""
    site = small.build()
    before = (site / "cases" / "plain.html").read_text("utf-8")
    case = small.cases / "plain.yml"
    case.write_text(case.read_text("utf-8").replace("at: 60 mm", "at: 63 mm"), "utf-8")
    after = (small.build() / "cases" / "plain.html").read_text("utf-8")
    assert "63 mm" in after
    assert "63 mm" not in before


def test_audiences_have_caches_of_their_own(small: Project) -> None:
    """Nothing that one audience's build keeps is in another's folder."""
    small.build()
    small.build("other", audience="examiner")
    assert {folder.name for folder in small.cache.iterdir()} == {"trainee", "examiner"}


def digests(folder: Path) -> dict[str, str]:
    """A hash of every file of a folder, by its path."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_bytes_are_read_from_packed_files(tmp_path: Path) -> None:
    """The reader of every byte sees into packed files and names."""
    import gzip

    (tmp_path / "a.gz").write_bytes(gzip.compress(b"hidden"))
    (tmp_path / "folder").mkdir()
    shutil.copy(tmp_path / "a.gz", tmp_path / "folder" / "named.gz")
    found = b"".join(every_byte(tmp_path).values())
    assert b"hidden" in found
    assert b"named" in found
