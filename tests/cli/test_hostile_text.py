"""Whatever a file says, and whatever it is called, nothing of it acts on the terminal."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from annotator.formats.vocabulary import vocabulary_yaml
from annotator.plain_text import is_seen
from tests.cli.conftest import Annotate, Outcome, tags_in
from tests.vocabulary.drawn_by_hand import concept, vocabulary

EVIL = "\x1b]0;owned\x07\x1b[2J\x9b31m\x7f\r\u202e\u2066\u2028annotator: all is well\u200b\ud800"[:-1]
"""Escapes, a carriage return, marks of direction, a separator of lines, and something without width."""


def harmless(told: Outcome) -> bool:
    return all(one == "\n" or is_seen(one) for one in told.out + told.err)


@pytest.fixture
def evil_case(case: Path) -> Path:
    """A case as a stranger may send it: every text in it is hostile."""
    document = json.loads(case.read_text(encoding="utf-8"))
    recording = document["recordings"][0]
    document["label"] = EVIL
    for one in document["vocabulary"]["concepts"]:
        one["prefLabel"] = {"en": f"{one['notation']} \u202e\u2028\u200b turned"}
    target = {"source": recording["id"], "selector": {"value": "t=1,9"}}
    items = [
        {
            "id": f"urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a0{number}",
            "body": [{"purpose": "classifying", "source": source}, {"purpose": "commenting", "value": EVIL}],
            "target": [target],
        }
        for number, source in enumerate([document["vocabulary"]["concepts"][3]["id"], "urn:x:\x9b31m\u202e\x7f"])
    ]
    document["first"] = {"items": items}
    case.write_text(json.dumps(document), encoding="utf-8")
    return case


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", "CASE"),
        ("tags", "CASE"),
        ("tags", "CASE", "--format", "json"),
        ("durations", "CASE"),
        ("durations", "CASE", "--format", "json"),
        ("durations", "CASE", "--facet", EVIL),
        ("chapters", "CASE", "--out", "OUT"),
        ("clips", "CASE", "--out", "OUT", "--step", EVIL),
        ("tags", "CASE", "--add", "TABLE"),
        ("tags", "CASE", "--add", "TABLE", "--keep-going"),
        ("tags", "CASE", "--add", "HEADER"),
        ("tags", "CASE", "--add", "CAPTIONS"),
        ("tags", "CASE", "--add", "GARBLED"),
        ("vocab", "list", "VOCABULARY"),
        ("vocab", "check", "VOCABULARY"),
        ("vocab", "check", "FAULTY"),
        ("vocab", "compare", "VOCABULARY", "general"),
        ("vocab", "compare", "VOCABULARY", "general", "--format", "json"),
        ("vocab", "list", EVIL),
        ("vocab", "list", "x" * 5_000),
        ("tags", "x" * 5_000),
        ("inspect", "TABLE"),
        ("inspect", EVIL),
        (EVIL,),
        ("tags", "CASE", f"--{EVIL}"),
    ],
    ids=lambda arguments: " ".join(arguments).encode("unicode_escape").decode()[:60],
)
def test_nothing_that_is_printed_acts_on_the_terminal(
    annotate: Annotate, evil_case: Path, tmp_path: Path, arguments: tuple[str, ...]
) -> None:
    folder = tmp_path / "\x1b[2J\u202e"
    folder.mkdir()
    made: dict[str, Callable[[], tuple[str, str]]] = {
        "TABLE": lambda: ("steps.csv", f'start,end,step,performer,note\n1,2,"{EVIL}","{EVIL}",\n1,2,"c\x1b[2Jore",,\n'),
        "HEADER": lambda: ("steps.csv", f"start,end,step,{EVIL}\n"),
        "CAPTIONS": lambda: ("c.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\nsome\x1b[2J\u202e\n"),
        "GARBLED": lambda: ("c.srt", "1\n00:00:01,000 --> 00:0\x1b[2J\u202e\nsome\n"),
        "FAULTY": lambda: ("ours.csv", f"kind,notation,{EVIL}\n{EVIL},b\n"),
        "VOCABULARY": lambda: (
            "ours.yaml",
            vocabulary_yaml.dumps(vocabulary(concept("core", label="core \u202e\u2028 \u200b turned"))),
        ),
    }
    named = {"CASE": evil_case, "OUT": folder / "out"}
    for word in made.keys() & set(arguments):
        name, text = made[word]()
        named[word] = folder / f"\x1b]0;{name}"
        named[word].write_text(text, encoding="utf-8", newline="")
    told = annotate(*(named.get(word, word) for word in arguments))
    assert told.status in (0, 1, 2)
    assert told.out or told.err
    assert harmless(told), (told.out + told.err).encode("unicode_escape")


def test_programs_are_told_all_that_a_text_holds(annotate: Annotate, evil_case: Path) -> None:
    """In JSON as escapes, to the letter; a table has the text without control characters."""
    listed = tags_in(annotate, evil_case)
    assert [one["note"] for one in listed] == [EVIL, EVIL]
    table = annotate("tags", evil_case, "--format", "csv").out
    assert "\u202e" in table, "marks of direction belong to a text that is read by a program"
    assert not set(table) & set("\x1b\x9b\x07\x7f\r")
