"""What was asked for is written, one after the other, under names that name nobody."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import Cancelled
from annotator.media.probe import probe
from annotator.model.case import Case
from annotator.model.place import parse_place
from annotator.publish.job import Order, Published, publish
from annotator.publish.names import USUAL, planned, safe_name
from annotator.publish.options import Options, dumps, loads
from tests.measure.cases import tag
from tests.publish.numbered import case_of, frames_of, numbers_in, recording
from tests.test_progress import Watched

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "30", "-c:a", "aac")
NOTHING = Options(chapters=False, durations=False)
ALL = Options(
    facets=("phase", "step"),
    forms=("xlsx", "html", "csv", "json"),
    shared=True,
    recording=True,
    clips=True,
    stills=True,
)


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return recording(tmp_path_factory.mktemp("film") / "nomen-nescio.mp4", 60, "30", *X264)


@pytest.fixture
def case(film: Path) -> Case:
    core = replace(frames_of(film, "core", 5, 20), place=parse_place("4 posterior"))
    return case_of(film, tags=(core, frames_of(film, "shave", 20, 50)))


def run(case: Case, film: Path, folder: Path, options: Options, name: str = "talk") -> Published:
    return publish(Order(case, film.with_name("c.jsonld"), options, case.tags, folder, name))


def test_all_of_it_lands_under_its_name(case: Case, film: Path, tmp_path: Path) -> None:
    found = run(case, film, tmp_path, ALL)
    assert found.failures == ()
    assert [path.name for path in found.written] == planned(case, ALL, "talk")
    assert {path.name for path in tmp_path.iterdir()} == {path.name for path in found.written}
    assert {path.name for path in found.written} == {
        *(f"talk.chapters.{facet}.vtt" for facet in ("phase", "step")),
        *(f"talk.durations.{facet}.{form}" for facet in ("phase", "step") for form in ("xlsx", "html", "csv", "json")),
        *("talk.places.csv", "talk.shared", "talk.with-chapters.mp4", "talk.clips", "talk.stills"),
    }
    assert [numbers_in(path) for path in sorted((tmp_path / "talk.clips").iterdir())] == [
        list(range(5, 20)),
        list(range(20, 50)),
    ]
    assert len(probe(tmp_path / "talk.with-chapters.mp4").chapters) == 2
    for path in tmp_path.rglob("*"):
        assert "nescio" not in path.name.lower()
        assert not path.is_file() or b"escio" not in path.read_bytes(), path.name


def test_what_is_there_stays_unless_it_may_be_replaced(case: Case, film: Path, tmp_path: Path) -> None:
    options = Options(forms=("json",), stills=True)
    run(case, film, tmp_path, options)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    again = run(replace(case, title="Anew"), film, tmp_path, options)
    assert [path.name for path in again.written] == ["talk-2.chapters.vtt", "talk-2.durations.json", "talk-2.stills"]
    assert all(path.read_bytes() == data for path, data in before.items())
    over = run(replace(case, title="Anew"), film, tmp_path, replace(options, replace=True))
    assert over.written[1].name == "talk.durations.json"
    assert b"Anew" in over.written[1].read_bytes()


def test_one_that_fails_stops_no_other(case: Case, film: Path, tmp_path: Path) -> None:
    found = run(case, film, tmp_path, replace(ALL, container=".webm", durations=False, shared=False, clips=False))
    assert [path.name for path in found.written] == ["talk.chapters.phase.vtt", "talk.chapters.step.vtt", "talk.stills"]
    assert "a .webm file can't hold" in found.failures[0]


def test_nothing_to_make_leaves_nothing(case: Case, film: Path, tmp_path: Path) -> None:
    moment = replace(case, tags=(tag("bleeding", 500, 500),))
    found = run(moment, film, tmp_path, replace(NOTHING, clips=True))
    assert found.written == ()
    assert "is a moment" in found.notes[0]
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "talk.clips").mkdir()
    run(moment, film, tmp_path, replace(NOTHING, clips=True, replace=True))
    assert (tmp_path / "talk.clips").is_dir()


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="rights are of another kind here")
def test_a_folder_that_cannot_be_written_to_is_said_once(case: Case, film: Path, tmp_path: Path) -> None:
    """The superuser may write anywhere but where there is a file."""
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    found = run(case, film, tmp_path / "file", ALL)
    assert len(found.failures) == 1
    assert "choose another place" in found.failures[0]


def test_stopped_it_tells_what_was_written_before(case: Case, film: Path, tmp_path: Path) -> None:
    reached: list[float] = []

    def stop(done: float, total: float) -> None:
        reached.append(done / total)
        if (tmp_path / "talk.clips").exists():
            raise Cancelled("stopped")

    order = Order(case, film.with_name("c.jsonld"), Options(clips=True, forms=("json",)), case.tags, tmp_path, "talk")
    found = publish(order, stop)
    assert found.stopped
    assert [path.name for path in found.written] == ["talk.chapters.vtt", "talk.durations.json"]
    assert set(tmp_path.iterdir()) == set(found.written)
    assert reached == sorted(reached)


def test_a_tag_that_is_still_running_is_said_once(case: Case, film: Path, tmp_path: Path) -> None:
    running = replace(case, tags=(replace(case.tags[0], end=None),))
    found = run(running, film, tmp_path, replace(ALL, recording=False, clips=False, stills=False))
    assert sum("is still running" in note for note in found.notes) == 1


def test_it_tells_which_of_how_many_is_being_made(case: Case, film: Path, tmp_path: Path) -> None:
    watched = Watched()
    options = Options(facets=("step",), forms=("json",), clips=True, stills=True)
    publish(Order(case, film.with_name("c.jsonld"), options, case.tags, tmp_path, "talk"), watched)
    assert watched.words == [
        *("talk.chapters.vtt", "talk.durations.json"),
        *("talk.clips", "clip 1 of 2", "clip 2 of 2"),
        *("talk.stills", "still 1 of 2", "still 2 of 2"),
    ]
    assert watched.shares == sorted(watched.shares)


def test_nested_chapters_of_several_facets_are_one_file(case: Case) -> None:
    options = Options(facets=("phase", "step"), nested=True, durations=False)
    assert planned(case, options, "x") == ["x.chapters.vtt"]


def test_options_are_read_back() -> None:
    assert loads(dumps(ALL)) == ALL
    assert dumps(Options()) == "{}"
    with pytest.raises(ValueError, match="clip_form"):
        loads('{"clip_form": "avi"}')


@given(st.text())
def test_a_name_is_safe_on_any_system(text: str) -> None:
    """Names that Windows does not take: Microsoft, "Naming Files, Paths, and Namespaces", cited from memory."""
    name = safe_name(text)
    assert 0 < len(name) <= 60
    assert not set(name) & set('<>:"/\\|?*\0\n ')
    assert name[-1] not in ". "
    assert name.split(".")[0].upper() not in {"CON", "PRN", "AUX", "NUL", *(f"COM{n}" for n in range(1, 10))}
    assert safe_name(name) == name


def test_names_keep_what_people_write() -> None:
    assert safe_name("Model eye (invented)") == "Model-eye-invented"
    assert safe_name("Netzhautablösung, 2. Fall") == "Netzhautablösung-2.-Fall"
    assert [safe_name(text) for text in ("", "..", "con", "NUL.txt")] == [USUAL] * 4
