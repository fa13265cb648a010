"""SubRip has no standard; these are the forms that common parsers agree on (common practice, no source)."""

import codecs

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.captions.subrip import loads
from annotator.formats.captions.webvtt import Captions, Cue

PLAIN = "1\n00:00:01,000 --> 00:00:02,500\nFirst\nsecond line\n\n2\n00:00:02,500 --> 01:00:00,000\nNext\n"
CUES = (Cue(1_000, 2_500, "First\nsecond line"), Cue(2_500, 3_600_000, "Next"))


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace("\n", "\r"),
        "\ufeff" + PLAIN,
        "\n\n" + PLAIN,
        PLAIN.rstrip(),
        PLAIN.replace(",", "."),
        PLAIN.replace("1\n0", "0").replace("2\n0", "0"),
        PLAIN.replace("00 -->", "00-->").replace("--> 0", "-->0"),
        PLAIN.replace("2,500\n", "2,500  X1:10 X2:20 Y1:1 Y2:2\n", 1),
        PLAIN.replace("First", "<i>{\\an8}First</i>"),
    ],
)
def test_forms_that_mean_the_same(text: str) -> None:
    assert loads(text) == Captions(CUES)
    assert loads(text.encode()) == Captions(CUES)


@pytest.mark.parametrize(
    ("mark", "encoding"),
    [
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (codecs.BOM_UTF32_LE, "utf-32-le"),
        (codecs.BOM_UTF32_BE, "utf-32-be"),
    ],
)
def test_encodings_by_their_mark(mark: bytes, encoding: str) -> None:
    assert loads(mark + PLAIN.replace("Next", "Ärmel 眼").encode(encoding)).cues[1].text == "Ärmel 眼"


def test_another_encoding_is_guessed_and_said() -> None:
    captions = loads(PLAIN.replace("Next", "Naht schließen").encode("cp1252"))
    assert captions.cues[1].text == "Naht schließen"
    assert "Windows-1252" in captions.warnings[0]
    assert not captions.faults


@pytest.mark.parametrize(
    "time",
    [
        "00:00:03,4560",
        "00:00:03,90",
        "00:00:03",
        "00:03,000",
        "-0:00:03,000",
        "00:60:03,000",
        "00:00:60,000",
        "0:0:013,500",
    ],
)
def test_a_malformed_time_is_a_fault_with_its_line_and_gives_no_cue(time: str) -> None:
    captions = loads(f"{PLAIN}\n3\n00:00:01,000 --> {time}\nText\n\n4\n00:00:05,000 --> 00:00:06,000\nLast\n")
    assert captions.cues == (*CUES, Cue(5_000, 6_000, "Last"))
    assert [fault.partition(":")[0] for fault in captions.faults] == ["line 11"]


def test_a_long_case_keeps_its_hours() -> None:
    assert loads("1\n100:00:01,000 --> 100:00:02,000\nLate\n").cues == (Cue(360_001_000, 360_002_000, "Late"),)


def test_an_arrow_without_a_digit_is_text() -> None:
    assert loads("1\n00:00:01,000 --> 00:00:04,000\nx --> y\n").cues == (Cue(1_000, 4_000, "x --> y"),)


def test_numbers_and_blank_lines_within_a_text_stay() -> None:
    text = "1\n00:00:01,000 --> 00:00:04,000\n1987\n\nand on\n\n2\n00:00:05,000 --> 00:00:06,000\n7\n"
    assert loads(text).cues == (Cue(1_000, 4_000, "1987\n\nand on"), Cue(5_000, 6_000, "7"))


def test_what_has_no_time_line_is_refused_and_nothing_is_nothing() -> None:
    with pytest.raises(InvalidFile, match="not a SubRip file"):
        loads("just text\n")
    assert loads("") == loads("\n\n") == Captions(())


@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)))
def test_whatever_comes_gives_cues_and_faults_or_the_one_error(data: str | bytes) -> None:
    try:
        loads(data)
    except InvalidFile as error:
        assert "SubRip" in str(error)


def test_times_that_no_case_can_have_are_said() -> None:
    captions = loads(
        "1\n00:00:02,000 --> 00:00:01,000\nA\n\n2\n00:00:03,000 --> 00:00:03,000\nB\n\n"
        "3\n00:00:00,000 --> 1001:00:00,000\nC\n"
    )
    assert captions.faults == (
        "“A” at 00:00:02.000 ends at 00:00:01.000, not after its start",
        "“B” at 00:00:03.000 ends at 00:00:03.000, not after its start",
        "“C” at 00:00:00.000 is later than any case lasts",
    )
