"""Settings as they are kept: defaults, limits, and what is damaged."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QSettings

from annotator.desktop.preferences.preferences import LARGEST_CACHE, SMALLEST_CACHE, VOCABULARY, Preferences
from annotator.desktop.preferences.speeds import (
    FASTEST,
    MOST,
    SLOWEST,
    SPEEDS,
    faster,
    read_speeds,
    slower,
    write_speeds,
)
from annotator.desktop.theme.theme import Choice
from annotator.model.retina import View

steps = st.lists(st.integers(25, 800).map(lambda hundredths: hundredths / 100), max_size=MOST - 1)


def kept_in(path: Path) -> Preferences:
    return Preferences(QSettings(str(path), QSettings.Format.IniFormat))


def test_at_first_everything_is_as_usual(tmp_path: Path) -> None:
    fresh = kept_in(tmp_path / "none.ini")
    assert (fresh.theme, fresh.speeds, fresh.single_keys) == (Choice.SYSTEM, SPEEDS, True)
    assert (fresh.keys, fresh.cache_folder, fresh.cache_bytes) == ({}, None, None)
    assert (fresh.vocabulary, fresh.retina_view, fresh.shows_first_steps) == (VOCABULARY, View.UPRIGHT, True)
    assert fresh.damaged() == ()


def test_the_view_of_earlier_versions_is_known(tmp_path: Path) -> None:
    fresh = kept_in(tmp_path / "earlier.ini")
    fresh.settings.setValue("retina_view", "as the surgeon sits")
    assert fresh.retina_view is View.TURNED


def test_settings_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "settings.ini"
    before = kept_in(path)
    before.theme = Choice.LIGHT
    before.speeds = (0.25, 1.0, 8.0)
    before.single_keys = False
    before.keys = {"undo": ("Ctrl+Z", ","), 'https://example.org/v#a=b/c,"d': ("Ü",), "save": ()}
    before.cache_folder = tmp_path / "of films, and “more”"
    before.cache_bytes = 5_000_000_000
    before.vocabulary = "glaucoma"
    before.retina_view = list(View)[-1]
    before.shows_first_steps = False
    before.settings.sync()
    after = kept_in(path)
    for name in ("theme", "speeds", "single_keys", "keys", "cache_folder", "cache_bytes", "vocabulary", "retina_view"):
        assert getattr(after, name) == getattr(before, name), name
    assert not after.shows_first_steps
    assert after.damaged() == ()


def test_what_is_as_usual_is_not_kept(tmp_path: Path) -> None:
    kept = kept_in(tmp_path / "settings.ini")
    kept.theme = Choice.DARK
    kept.theme = Choice.SYSTEM
    kept.keys = {"undo": ()}
    kept.keys = {}
    assert kept.settings.allKeys() == []


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("theme", ["purple", "", "DARK", "1, 2", "@ByteArray(dark)"]),
        ("speeds", ["fast", "0.1", "9", "nan", "inf", "1 2 3 4 5 6 7", "1, 2"]),
        ("single_keys", ["yes", "1", "", "truth"]),
        ("keys", ["{", "[]", '{"undo": "Z"}', '{"undo": [1]}', "{}" + " " * 200_000]),
        ("cache_folder", ["films", "../films", "."]),
        ("cache_bytes", ["-1", "0", "1e9", "much", str(SMALLEST_CACHE - 1), str(LARGEST_CACHE + 1)]),
        ("retina_view", ["sideways", ""]),
        ("first_steps", ["maybe"]),
    ],
)
def test_a_damaged_value_is_as_at_first_and_told(name: str, values: list[str], tmp_path: Path) -> None:
    fresh = kept_in(tmp_path / "none.ini")
    for number, value in enumerate(values):
        path = tmp_path / f"{number}.ini"
        quoted = value if value.startswith(("@", "1, 2")) else '"' + value.replace('"', '\\"') + '"'
        path.write_text(f"[General]\n{name}={quoted}\n", encoding="utf-8")
        damaged = kept_in(path)
        attribute = "shows_first_steps" if name == "first_steps" else name
        assert getattr(damaged, attribute) == getattr(fresh, attribute), value
        assert damaged.damaged() == (name,), value


@pytest.mark.parametrize("content", [b"", b"\0\xff\xfe[[[\n=\n", b"[General\ntheme", b"theme=dark\n" * 3])
def test_a_file_that_is_none_is_borne(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "settings.ini"
    path.write_bytes(content)
    kept = kept_in(path)
    assert kept.speeds == SPEEDS
    kept.single_keys = False
    assert not kept.single_keys


@given(steps)
def test_speeds_are_sorted_unique_and_hold_1(wanted: list[float]) -> None:
    read = read_speeds(" ".join(map(str, wanted)))
    assert list(read) == sorted({1.0, *wanted})
    assert read_speeds(write_speeds(read)) == read


def test_speeds_are_read_as_people_write_them() -> None:
    assert read_speeds("2; 0,5 1.25,  ×4") == (0.5, 1.0, 1.25, 2.0, 4.0)
    assert read_speeds("") == (1.0,)


@pytest.mark.parametrize(
    ("text", "says"),
    [("half", "half"), ("0.5,1,2", "separate speeds with spaces"), ("16", "0.25 to 8"), ("2 3 4 5 6 7", "6 at most")],
)
def test_speeds_that_can_not_be_are_said(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_speeds(text)


@given(steps.map(lambda wanted: tuple(sorted({1.0, *wanted}))), st.floats(SLOWEST, FASTEST))
def test_slower_and_faster_go_to_the_next_step(speeds: tuple[float, ...], now: float) -> None:
    down, up = slower(speeds, now), faster(speeds, now)
    assert down in speeds and up in speeds
    assert not [one for one in speeds if down < one < now]
    assert not [one for one in speeds if now < one < up]
    assert down < now or down == speeds[0]
    assert up > now or up == speeds[-1]
