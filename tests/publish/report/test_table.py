"""The table for a terminal: aligned by what a terminal shows, and free of what a terminal would obey."""

import pytest

from annotator.measure.durations import summarise
from annotator.publish.report.table import columns, dumps
from tests.publish.report_case import MODEL_EYE, PLACED, harmful


def test_the_table_to_the_letter() -> None:
    assert dumps(summarise(MODEL_EYE)) == (
        "Model eye (invented) · step · 1:40.000\n"
        "\n"
        "                 count     total  share   longest      mean    median  first at\n"
        "Port placement       1  0:10.000  10.0%  0:10.000  0:10.000  0:10.000  0:00.000\n"
        "Core vitrectomy      2  0:45.000  45.0%  0:40.000  0:22.500  0:22.500  0:10.000\n"
        "Base shaving         1  0:25.000  25.0%  0:25.000  0:25.000  0:25.000  0:45.000\n"
        "Port removal         1  0:10.000  10.0%  0:10.000  0:10.000  0:10.000  1:30.000\n"
        "\n"
        "untagged 0:15.000 · under two tags at once 0:05.000\n"
    )


def test_by_performer_adds_a_table_for_each() -> None:
    text = dumps(summarise(MODEL_EYE, by_performer=True))
    assert text.count("count") == 4
    assert "\nteacher\n" in text
    assert "\nperformer not given\n" in text


@pytest.mark.parametrize(
    ("width", "widest", "name"),
    [
        *((40, 76, "Port placem…"), (76, 76, "Port placem…"), (77, 77, "Port placeme…")),
        *((79, 79, "Port placement"), (200, 79, "Port placement")),
    ],
)
def test_names_give_way_on_a_narrow_terminal(width: int, widest: int, name: str) -> None:
    """To twelve columns, which with the figures make 76; where there is room for the whole name there are 79."""
    lines = dumps(summarise(MODEL_EYE), width).splitlines()[2:-2]
    assert max(map(columns, lines)) == widest
    assert lines[1].startswith(f"{name}  ")


def test_wide_characters_take_two_columns() -> None:
    """Unicode Standard Annex 11, East Asian Width; marks and format characters take none."""
    assert [columns(text) for text in ("abc", "眼底", "e\u0301", "\u200eab", "ｱ")] == [3, 4, 1, 2, 1]


def test_nothing_in_it_moves_the_cursor() -> None:
    text = dumps(summarise(harmful()))
    assert all(character.isprintable() or character in "\n\u202e\u202c" for character in text)
    assert "\x1b" not in text


def test_time_by_place_stands_below() -> None:
    assert dumps(summarise(PLACED)).split("\n\n")[2].splitlines() == [
        "by place on the retina",
        "4 o'clock, posterior       0:40.000",
        "5 o'clock, posterior       1:20.000",
        "12 o'clock, far periphery  0:50.000",
        "any place                  1:20.000",
    ]
