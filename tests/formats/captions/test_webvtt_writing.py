"""Chapter files keep to the W3C's syntax, and every time in them shows the frame that was meant.

WebVTT: The Web Video Text Tracks Format, W3C, https://www.w3.org/TR/webvtt1/ , sections on the file body,
on chapter title text and on files using only nested cues.
"""

import re
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.captions.webvtt import Cue, dumps, dumps_chapters, loads
from annotator.model.interval import Interval
from annotator.model.timecode import Ms, ceil_ms, clock, from_ticks, parse
from annotator.plain_text import one_line
from tests.formats.titled import Titled

TIME = r"\d{2,}:[0-5]\d:[0-5]\d\.\d{3}"
TITLE = r"(?:(?!-->)(?:[^\n\r<&]|&(?:amp|lt|gt);))+"
LINE = r"(?:(?!-->)[^\n\r])+"
CONFORMING = re.compile(rf"WEBVTT\n(?:\nNOTE {LINE}\n)*(?:\n(?:{LINE}\n)?{TIME} --> {TIME}\n{TITLE}\n)*", re.ASCII)
"""The syntax of the standard, for the subset that is written: comments first, then cues of one line."""

HOSTILE = [
    "Suture & knot",
    "pressure < 21 > 10",
    "a --> b",
    "--> 00:00:01.000",
    "<c.red>red</c> <b>&amp;</b>",
    "two\nlines\r\nand\rmore\n\nNOTE not a comment",
    "WEBVTT",
    "tab\there, form\ffeed, line\u2028separator, nul\0, bell\a, delete\x7f, next\x85line",
    "\u202eleft to right no more",
    "\u2067stray \u2069\u2069 pops \u202c",
    "  ",
    "",
    "\ud800 lone",
    "眼底 · إغلاق · Ωμέγα 🩺",
    "&lrm;&nbsp;&copy",
    "=1+1",
    "x" * 5000,
]


def test_a_file_of_two_chapters_to_the_byte() -> None:
    chapters = [Titled(61_001, 3_600_000, "Segmentation & delamination"), Titled(0, 61_001, "Port placement")]
    assert dumps_chapters(chapters) == (
        "WEBVTT\n"
        "\n"
        "NOTE Teaching material, not a clinical record. "
        "Times are frame times of the recording, rounded up to the ms.\n"
        "\n"
        "chapter-1\n"
        "00:00:00.000 --> 00:01:01.001\n"
        "Port placement\n"
        "\n"
        "chapter-2\n"
        "00:01:01.001 --> 01:00:00.000\n"
        "Segmentation &amp; delamination\n"
    )


def test_the_containing_chapter_comes_first() -> None:
    text = dumps([Cue(0, 5, "inner"), Cue(0, 10, "outer"), Cue(5, 10, "second")])
    assert re.findall("outer|inner|second", text) == ["outer", "inner", "second"]


@pytest.mark.parametrize("title", HOSTILE)
def test_no_title_breaks_the_file(title: str) -> None:
    text = dumps([Cue(0, 1_000, title, title), Cue(1_000, 2_000, "next", "n")], notes=(title,))
    assert CONFORMING.fullmatch(text)
    text.encode("utf-8")
    captions = loads(text)
    assert not captions.faults
    assert [cue.text for cue in captions.cues] == [one_line(title) or "–", "next"]


@given(st.lists(st.text(st.characters()), max_size=8))
def test_any_titles_are_read_back_as_one_line_each(titles: list[str]) -> None:
    cues = [Cue(at * 10, at * 10 + 10, title) for at, title in enumerate(titles)]
    text = dumps(cues)
    assert CONFORMING.fullmatch(text)
    assert [cue.text for cue in loads(text.encode()).cues] == [one_line(title) or "–" for title in titles]


def test_directions_end_with_the_title() -> None:
    """Unicode Standard Annex 9: what opens an embedding, override or isolate is closed, and nothing else is."""
    for text in (one_line(title) for title in HOSTILE):
        opened = sum(text.count(mark) for mark in "\u202a\u202b\u202d\u202e")
        isolated = sum(text.count(mark) for mark in "\u2066\u2067\u2068")
        assert opened == text.count("\u202c")
        assert isolated == text.count("\u2069")
    assert one_line("\u2067abc \u2069 d") == "\u2067abc \u2069 d"
    assert one_line("\u202eabc") == "\u202eabc\u202c"
    assert one_line("\u2066a\u202cb\u2069") == "\u2066ab\u2069"


def test_ids_are_unique_or_refused() -> None:
    assert len(set(re.findall("chapter-[0-9]+", dumps_chapters([Titled(0, 1, "a"), Titled(1, 2, "a")])))) == 2
    with pytest.raises(InvalidFile, match="has the id of another cue"):
        dumps([Cue(0, 1, "a", "x"), Cue(1, 2, "b", "x")])


@pytest.mark.parametrize(
    ("cues", "nested"),
    [
        # The standard's own examples, in seconds; then constructed ones. Equal ranges pass the standard's rule
        # but give no tree (W3C bug 25737), so they are refused here.
        ([(0, 84), (0, 44), (44, 79), (84, 300), (95, 180), (180, 300)], True),
        ([(0, 60), (30, 90)], False),
        ([(0, 10.7), (10.7, 47.6), (47.6, 110.1), (110.1, 213)], True),
        ([(0, 10), (20, 30)], True),
        ([(0, 1), (0, 1)], False),
        ([(0, 10), (0, 5), (5, 10)], True),
        ([(0, 10.001), (10, 20)], False),
        ([(0, 100), (0, 50), (10, 20), (60, 100)], True),
        ([(0, 100), (0, 50), (40, 60)], False),
        ([(5, 5)], False),
        ([(5, 4)], False),
        ([(-1, 4)], False),
    ],
)
def test_chapters_lie_beside_or_inside_one_another(cues: list[tuple[float, float]], nested: bool) -> None:
    made = [Cue(round(start * 1000), round(end * 1000), "x") for start, end in cues]
    if nested:
        assert len(loads(dumps(made)).cues) == len(cues)
    else:
        with pytest.raises(InvalidFile):
            dumps(made)


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), max_size=6))
def test_what_is_written_is_nested_by_the_rule_for_every_two(ranges: list[tuple[Ms, Ms]]) -> None:
    spans = [Interval(min(one), max(one)) for one in ranges]
    fine = all(not one.is_moment for one in spans) and all(
        not one.overlaps(other) or (one != other and (one.contains(other) or other.contains(one)))
        for at, one in enumerate(spans)
        for other in spans[:at]
    )
    cues = [Cue(one.start, one.end, "x") for one in spans]
    if fine:
        dumps(cues)
    else:
        with pytest.raises(InvalidFile):
            dumps(cues)


RATES = st.one_of(
    st.sampled_from([Fraction(30_000, 1001), Fraction(60_000, 1001), Fraction(24_000, 1001), Fraction(50)]),
    st.builds(Fraction, st.integers(1, 120_000), st.integers(1, 2_000)).filter(
        lambda rate: Fraction(1, 60) <= rate <= 500
    ),
)


@given(RATES, st.integers(0, 5_000_000))
@example(Fraction(30), 1)
def test_the_written_time_is_the_first_ms_at_which_a_player_shows_that_frame(rate: Fraction, frame: int) -> None:
    exact, following = frame / rate * 1000, (frame + 1) / rate * 1000
    written = clock(ceil_ms(frame / rate))
    if ceil_ms(frame / rate) <= 3_600_000_000:
        assert parse(written) == ceil_ms(frame / rate)
    assert exact <= ceil_ms(frame / rate) < following
    assert ceil_ms(frame / rate) - 1 < exact


@given(st.integers(1, 90_000), st.lists(st.integers(1, 10_000), min_size=1, max_size=20), st.integers(0, 10**9))
def test_the_same_holds_for_any_time_stamps_at_least_a_ms_apart(base: int, steps: list[int], first: int) -> None:
    time_base = Fraction(1, base)
    stamp = first
    for step in steps:
        following = stamp + max(step, base // 1000 + 1)
        at = from_ticks(stamp, time_base, zero=first * time_base)
        exact = [(one - first) * time_base * 1000 for one in (stamp, following)]
        assert at - 1 < exact[0] <= at < exact[1]
        stamp = following
