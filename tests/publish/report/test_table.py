"""The table for a terminal: aligned by what a terminal shows, and free of what a terminal would obey."""

import pytest

from annotator.measure.durations import summarise
from annotator.publish.report.table import columns, dumps
from tests.publish.report_case import MODEL_EYE, PLACED, harmful


def test_the_table_to_the_letter() -> None:
    assert dumps(summarise(MODEL_EYE, within="technique")) == (
        "Model eye (invented) · step\n"
        "recording 1:40 · operating time 1:40\n"
        "\n"
        "                 count   net  elapsed  operation  recording  longest  mean  median  first at\n"
        "Port placement       1  0:10     0:10     10.0 %     10.0 %                             0:00\n"
        "Core vitrectomy      2  0:45     1:15     45.0 %     45.0 %     0:40  0:23    0:23      0:10\n"
        "Base shaving         1  0:25     0:25     25.0 %     25.0 %                             0:45\n"
        "Port removal         1  0:10     0:10     10.0 %     10.0 %                             1:30\n"
        "\n"
        "Core vitrectomy was interrupted by Base shaving 0:20\n"
        "\n"
        "within each, by technique\n"
        "Core vitrectomy 0:45: Bimanual 0:30 (66.7 %), None of them 0:15 (33.3 %)\n"
        "Base shaving 0:25: Bimanual 0:15 (60.0 %), Lift and shave 0:02 (8.0 %), None of them 0:09 (36.0 %)\n"
        "\n"
        "untagged 0:15 · under two tags at once 0:05\n"
    )


def test_moments_are_counted_and_have_no_time() -> None:
    lines = dumps(summarise(MODEL_EYE, "event")).splitlines()
    assert lines[4].split("  ")[0] == "Bleeding"
    assert "1 marked" in lines[4]
    assert "0:00" not in lines[4]
    assert "untagged" not in lines[-1], "events may overlap as they like"


def test_by_performer_adds_a_table_for_each() -> None:
    text = dumps(summarise(MODEL_EYE, by_performer=True))
    assert text.count("count") == 4
    assert "\nteacher\n" in text
    assert "\nperformer not given\n" in text


@pytest.mark.parametrize(
    ("width", "widest", "name"),
    [
        *((40, 89, "Port placem…"), (89, 89, "Port placem…"), (90, 90, "Port placeme…")),
        *((92, 92, "Port placement"), (200, 92, "Port placement")),
    ],
)
def test_names_give_way_on_a_narrow_terminal(width: int, widest: int, name: str) -> None:
    """To twelve columns, which with the figures make 89; where there is room for the whole name there are 92."""
    lines = dumps(summarise(MODEL_EYE), width).splitlines()[3:8]
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
        "4 o'clock, posterior       0:40",
        "5 o'clock, posterior       1:20",
        "12 o'clock, far periphery  0:50",
        "any place                  1:20",
    ]
