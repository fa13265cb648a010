"""What published files are called: safe on any system, one for each thing, and never in the way of what is there."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.model.place import parse_place
from annotator.publish.names import USUAL, free_name, planned, safe_name, there
from annotator.publish.options import Options, dumps, loads
from tests.measure.cases import case, tag

CASE = case(tag("core", 0, 1_000))
PLACED = case(replace(tag("core", 0, 1_000), place=parse_place("4 posterior")))
NOTHING = Options(chapters=False, durations=False)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Model eye", "Model-eye"),
        ("  Model / eye: 1  ", "Model-eye-1"),
        ("Größe 眼底.v2", "Größe-眼底.v2"),
        ("../../etc/passwd", "etc-passwd"),
        ("...", USUAL),
        ("", USUAL),
        ("/", USUAL),
        ("-x-", "x"),
        ("x" * 80, "x" * 60),
        ("x" * 59 + " y", "x" * 59),
        ("CON", USUAL),
        ("nul.txt", USUAL),
        ("Com1", USUAL),
        ("lpt9.a.b", USUAL),
        ("console", "console"),
        ("com10", "com10"),
    ],
)
def test_a_text_becomes_the_beginning_of_a_name(text: str, name: str) -> None:
    assert safe_name(text) == name


@given(st.text(max_size=100))
def test_any_text_does_and_it_stays_what_it_became(text: str) -> None:
    """Naming Files, Paths, and Namespaces (Windows): no reserved character, no dot or blank at the end."""
    name = safe_name(text)
    assert 1 <= len(name) <= 60
    assert not set(name) & set('<>:"/\\|?*\0\n ')
    assert name[0] not in ".-"
    assert name[-1] not in ".-"
    assert safe_name(name) == name


@pytest.mark.parametrize(
    ("options", "names"),
    [
        (NOTHING, []),
        (Options(), ["eye.chapters.vtt", "eye.durations.xlsx", "eye.durations.html"]),
        (
            Options(facets=("phase", "step"), forms=("csv",)),
            ["eye.chapters.phase.vtt", "eye.chapters.step.vtt", "eye.durations.phase.csv", "eye.durations.step.csv"],
        ),
        (Options(facets=("phase", "step"), nested=True, durations=False), ["eye.chapters.vtt"]),
        (Options(facets=(), nested=True), []),
        (replace(NOTHING, shared=True), ["eye.shared"]),
        (replace(NOTHING, recording=True, container=".mkv"), ["eye.with-chapters.mkv"]),
        (replace(NOTHING, clips=True, stills=True), ["eye.clips", "eye.stills"]),
    ],
)
def test_each_thing_that_is_wanted_has_its_name(options: Options, names: list[str]) -> None:
    assert planned(CASE, options, "eye") == names


def test_times_by_place_are_a_table_of_their_own_where_there_are_any() -> None:
    tables = Options(chapters=False, forms=("csv", "json"))
    assert planned(CASE, tables, "eye") == ["eye.durations.csv", "eye.durations.json"]
    assert planned(PLACED, tables, "eye") == ["eye.durations.csv", "eye.durations.json", "eye.places.csv"]
    assert planned(PLACED, Options(chapters=False, forms=("json",)), "eye") == ["eye.durations.json"]
    assert planned(PLACED, replace(tables, durations=False), "eye") == []


@pytest.mark.parametrize("nested", [False, True])
@pytest.mark.parametrize("facets", [("step",), ("phase", "step"), ("phase", "step", "technique")])
def test_no_two_things_have_one_name(facets: tuple[str, ...], nested: bool) -> None:
    everything = Options(
        facets=facets,
        nested=nested,
        forms=("xlsx", "html", "csv", "json"),
        shared=True,
        recording=True,
        clips=True,
        stills=True,
    )
    names = planned(PLACED, everything, "eye")
    assert len(set(names)) == len(names) > 6


def test_a_name_of_which_anything_is_there_gets_the_first_number_that_is_free(tmp_path: Path) -> None:
    assert free_name(CASE, Options(), "eye", tmp_path) == "eye"
    (tmp_path / "eye.durations.html").touch()
    assert free_name(CASE, Options(), "eye", tmp_path) == "eye-2"
    (tmp_path / "eye-2.chapters.vtt").touch()
    assert free_name(CASE, Options(), "eye", tmp_path) == "eye-3"
    assert free_name(CASE, Options(replace=True), "eye", tmp_path) == "eye"
    assert free_name(CASE, replace(NOTHING, clips=True), "eye", tmp_path) == "eye", "of that nothing is there"


def test_what_is_there_is_told_in_the_order_asked(tmp_path: Path) -> None:
    (tmp_path / "b").touch()
    (tmp_path / "a").mkdir()
    assert there(["c", "b", "a"], tmp_path) == ["b", "a"]


@pytest.mark.parametrize(
    ("facets", "main"),
    [(("step",), "step"), (("phase", "step"), "step"), (("technique", "phase"), "technique"), ((), "step")],
)
def test_one_facet_is_that_of_the_recording(facets: tuple[str, ...], main: str) -> None:
    assert Options(facets=facets).main_facet == main


def test_options_are_kept_from_one_time_to_the_next() -> None:
    options = Options(facets=("phase", "step"), nested=True, forms=("csv",), container=".mkv", clip_form="copy")
    assert loads(dumps(options)) == options
    assert loads(dumps(Options())) == loads("{}") == Options()


@pytest.mark.parametrize("text", ["", "[]", '{"container": ".exe"}', '{"facets": 1}', '{"forms": ["pdf"]}', "{"])
def test_what_are_no_options_are_refused(text: str) -> None:
    with pytest.raises(ValueError):
        loads(text)
