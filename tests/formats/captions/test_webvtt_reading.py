"""Captions are read as a browser reads them, and a malformed time is a fault, never another time.

Rules: WebVTT (W3C), section on parsing; the files are constructed, and follow what the web-platform tests assert
(`webvtt/parsing/file-parsing` in web-platform-tests/wpt).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.captions.webvtt import Captions, Cue, loads
from annotator.model.timecode import LATEST

WELL_FORMED = {
    "00:00.000": 0,
    "00:00:00.000": 0,
    "59:59.999": 3_599_999,
    "00:59:59.999": 3_599_999,
    "01:00:00.000": 3_600_000,
    "99:59:59.999": 359_999_999,
    "100:00:00.000": 360_000_000,
    "000:00:01.000": 1_000,
    "0:00:01.000": 1_000,  # the syntax asks for two digits, the parser does not
    "60:00:00.000": 216_000_000,
    "1:00:00.000": 3_600_000,
    "00:44.000": 44_000,
    "01:24.000": 84_000,
}

MALFORMED = [
    "0:00.000",
    "60:00.000",
    "00:60.000",
    "00:60:00.000",
    "00:00:60.000",
    "00:00:00.00",
    "00:00:00.0",
    "00:00:00.",
    "00:00:00",
    "00:00:00.0000",
    "00:0:00.000",
    "00:000:00.000",
    "00:00:0.000",
    "00:00:000.000",
    "00::00.000",
    "00:00:00..000",
    "00:00:00,000",
    "000:00.000",
    "0000.000",
    "00:00.00",
    "00:00.0000",
    "-00:01.000",
    "+00:01.000",
    "00:00:00 .000",
    ".000",
    "00.000",
    "1:2:3.000",
    "",
    "０0:00.000",
    "00:00:00:000",
]


@pytest.mark.parametrize(("text", "expected"), WELL_FORMED.items())
def test_well_formed_times(text: str, expected: int) -> None:
    (cue,) = loads(f"WEBVTT\n\n{text} --> 999:00:00.000\nA\n").cues
    assert cue.start == expected


@pytest.mark.parametrize("text", MALFORMED)
@pytest.mark.parametrize("line", ["{} --> 01:00.000", "00:00.000 --> {}"])
def test_a_malformed_time_is_a_fault_with_its_line_and_gives_no_cue(text: str, line: str) -> None:
    captions = loads(f"WEBVTT\n\n{line.format(text)}\nA\n\n00:01.000 --> 00:02.000\nB\n")
    assert captions.cues == (Cue(1_000, 2_000, "B"),)
    assert len(captions.faults) == 1
    assert captions.faults[0].startswith("line 3: “")


A = Cue(0, 1_000, "A")
B = Cue(1_000, 2_000, "B")


@pytest.mark.parametrize(
    ("text", "cues"),
    [
        ("WEBVTT", ()),
        ("WEBVTT\n\n", ()),
        ("\ufeffWEBVTT\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT chapters of a case\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\tx\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\nkind: chapters\nlanguage: en\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT --> not a time\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\r\r00:00.000 --> 00:01.000\rA\r\r00:01.000 --> 00:02.000\rB\r", (A, B)),
        ("WEBVTT\r\n\r\n00:00.000 --> 00:01.000\r\nA\r\n\r\n00:01.000 --> 00:02.000\r\nB\r\n", (A, B)),
        ("WEBVTT\n\n00:00.000 --> 00:01.000\nA\n00:01.000 --> 00:02.000\nB\n", (A, B)),
        ("WEBVTT\n\n\f00:00.000\f-->\f00:01.000\f\nA\n\n\t00:01.000\t-->\t00:02.000\t\nB\n", (A, B)),
        ("WEBVTT\n\n00:00.000-->00:01.000\nA\n", (A,)),
        ("WEBVTT\n\nNOTE one line\n\nNOTE\nmore\nlines\n\n00:00.000 --> 00:01.000\nA\n\nNOTE last\n", (A,)),
        ("WEBVTT\n\nSTYLE\n::cue { color: red }\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\n\nREGION\nid:a\n\n00:00.000 --> 00:01.000\nA\n", (A,)),
        ("WEBVTT\n\n1\n00:00.000 --> 00:01.000 align:start\nA\nB\n\nstray\n", (Cue(0, 1_000, "A\nB", "1"),)),
        ("WEBVTT\n\n00:00.000 --> 00:01.000\n\n00:01.000 --> 00:02.000\nB\n", (Cue(0, 1_000, ""), B)),
        ("WEBVTT\n\n lead\n00:00.000 --> 00:01.000\nA\n", (Cue(0, 1_000, "A", " lead"),)),
        ("WEBVTT\n\n00:00.000 --> 00:01.000\nA\0B\n", (Cue(0, 1_000, "A\ufffdB"),)),
    ],
)
def test_files_as_players_read_them(text: str, cues: tuple[Cue, ...]) -> None:
    assert loads(text) == Captions(cues)
    assert loads(text.encode()) == Captions(cues)


@pytest.mark.parametrize(
    "text",
    ["", "webvtt\n\n", "WEBVTTX\n\n", " WEBVTT\n\n", "\ufeff\ufeffWEBVTT\n\n", "1\n00:00:00,000 --> 00:00:01,000\nA\n"],
)
def test_what_does_not_begin_as_webvtt_is_refused(text: str) -> None:
    with pytest.raises(InvalidFile, match="not a WebVTT file"):
        loads(text)


def test_only_utf_8_is_webvtt() -> None:
    with pytest.raises(InvalidFile, match="UTF-8"):
        loads("WEBVTT\n\n".encode("utf-16"))
    (cue,) = loads(b"WEBVTT\n\n00:00.000 --> 00:01.000\n\xff\n").cues
    assert cue.text == "\ufffd"


@pytest.mark.parametrize(
    ("payload", "text"),
    [
        # Of the HTML references the web-platform test `entities.dat` and the draft; then tags as browsers read them.
        ("&", "&"),
        ("&amp;", "&"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("a&lrm;b", "a\u200eb"),
        ("a&rlm;b", "a\u200fb"),
        ("&nbsp;", "\u00a0"),
        ("&&", "&&"),
        ("&;", "&;"),
        ("AT&T", "AT&T"),
        ("&copy;", "©"),
        ("<i>first</i> one", "first one"),
        ("<c.red.caps>third</c>", "third"),
        ("moon <00:17.500>hits", "moon hits"),
        ("3 < 4 and on", "3 "),
        ("<v Narrator>said", "said"),
        ("<c></\nc>x", "x"),
        ("&lt;b&gt;", "<b>"),
    ],
)
def test_titles_are_plain_text(payload: str, text: str) -> None:
    (cue,) = loads(f"WEBVTT\n\n00:00.000 --> 00:01.000\n{payload}\n").cues
    assert cue.text == text


def test_times_that_no_case_can_hold_are_faults() -> None:
    captions = loads(
        "WEBVTT\n\n00:02.000 --> 00:01.000\nA\n\n00:03.000 --> 00:03.000\nB\n\n00:00.000 --> 1001:00:00.000\nC\n"
    )
    assert len(captions.cues) == 3
    assert captions.faults == (
        "“A” at 00:00:02.000 ends at 00:00:01.000, not after its start",
        "“B” at 00:00:03.000 ends at 00:00:03.000, not after its start",
        "“C” at 00:00:00.000 is later than any case lasts",
    )


def test_an_arrow_in_a_title_starts_a_new_block_as_in_players_and_is_said() -> None:
    captions = loads("WEBVTT\n\n00:00.000 --> 00:01.000\nbefore --> after\n\n00:01.000 --> 00:02.000\nB\n")
    assert captions.cues == (Cue(0, 1_000, ""), B)
    assert captions.faults == ("line 4: “before --> after” is not a time line such as 00:01.000 --> 00:02.000",)


LINES = st.lists(
    st.sampled_from(
        [
            "00:01.000 --> 00:02.000",
            "00:05.000 --> 00:03.000",
            "9999:00:00.000 --> 9999:00:01.000",
            "Core",
            "",
            "NOTE",
            "-->",
        ]
    )
    | st.text(max_size=20),
    max_size=12,
).map("\n".join)


@given(st.one_of(LINES, st.binary(max_size=300)))
def test_whatever_follows_the_first_line_gives_cues_and_faults_and_no_other_error(rest: str | bytes) -> None:
    captions = loads("WEBVTT\n\n" + rest if isinstance(rest, str) else b"WEBVTT\n\n" + rest)
    assert captions.faults or all(0 <= cue.start < cue.end <= LATEST for cue in captions.cues)


ARROWS = st.lists(
    st.sampled_from(["00:01.000", "0:1:2.5", "00:00:04.3001", "-->", " ", "\n", "a", "<", "&"]), max_size=30
)


@given(ARROWS)
def test_every_line_with_an_arrow_is_a_cue_or_a_fault(parts: list[str]) -> None:
    text = "WEBVTT\n\n" + "".join(parts)
    captions = loads(text)
    arrows = sum("-->" in line for line in text.split("\n")[1:])
    named = sum(fault.startswith("line ") for fault in captions.faults)
    assert len(captions.cues) + named == arrows
