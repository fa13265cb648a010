"""Chapters inside containers, as their standards say that a player lists them."""

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annotator.media.container.matroska import Editions, editions_in
from annotator.media.probe import probe
from annotator.model.recording import MediaFacts
from tests.media.ebml import CHAPTERS, SEGMENT, UNKNOWN_SIZE, atom, edition, element, title, with_list
from tests.media.films import Films, ffmpeg
from tests.media.two_lists import write_two_lists

Read = Callable[..., MediaFacts]


@pytest.fixture(scope="session")
def streamed(film: Films, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A recording of 1.5 s, written as to a pipe: without a list of contents, its length unknown."""
    path = tmp_path_factory.mktemp("streamed") / "streamed.mkv"
    ffmpeg("-i", str(film("h264.mp4")), "-c", "copy", "-f", "matroska", "-seekable", "0", f"file:{path}")
    return path


@pytest.fixture
def read(streamed: Path, tmp_path: Path) -> Read:
    """Puts editions into the recording and reads it."""

    def put_in(*editions: bytes, at_the_end: bool = False) -> MediaFacts:
        chapters = element(CHAPTERS, *editions)
        return probe(with_list(streamed, tmp_path / "eye.mkv", chapters, at_the_end=at_the_end))

    return put_in


def listed(facts: MediaFacts) -> list[tuple[int, int, str, int]]:
    return [(one.start, one.end, one.title, one.level) for one in facts.chapters]


@pytest.mark.parametrize("at_the_end", [False, True])
def test_unsorted_ones_come_in_order_and_last_until_the_next(at_the_end: bool, read: Read) -> None:
    """5.1.7.1.4.4: the end may be left out."""
    facts = read(
        edition(atom(800, None, title("C")), atom(0, None, title("A")), atom(400, 600, title("B"))),
        at_the_end=at_the_end,
    )
    assert listed(facts) == [(0, 400, "A", 0), (400, 600, "B", 0), (800, 1_500, "C", 0)]
    assert facts.on_chapters == ()


def test_nested_ones_follow_the_one_they_lie_in(read: Read) -> None:
    """5.1.7.1.4: a ChapterAtom may hold others; the last within lasts as long as the one it lies in."""
    within = [atom(300, None, title("Peel")), atom(100, None, title("Stain"))]
    facts = read(edition(atom(0, 500, title("Membrane"), *within), atom(500, 1_000, title("Close"))))
    assert listed(facts) == [
        (0, 500, "Membrane", 0),
        (100, 300, "Stain", 1),
        (300, 500, "Peel", 1),
        (500, 1_000, "Close", 0),
    ]


def test_forty_levels_are_read_as_far_as_they_are_let_in(read: Read) -> None:
    inner = atom(39, 1_000, title("39"))
    for level in reversed(range(39)):
        inner = atom(level, 1_000, title(str(level)), inner)
    facts = read(edition(inner))
    assert [one.level for one in facts.chapters] == list(range(20))
    assert facts.on_chapters == ("Its list of chapters is damaged or too long; only the readable part is used",)


def test_of_several_editions_the_default_one_is_read(read: Read) -> None:
    """20.1.3: the first with EditionFlagDefault, else the first."""
    first, second = atom(0, 500, title("A")), atom(100, 700, title("B"))
    assert listed(read(edition(first), edition(second, default=True))) == [(100, 700, "B", 0)]
    facts = read(edition(first), edition(second))
    assert listed(facts) == [(0, 500, "A", 0)]
    assert facts.on_chapters == ("It has 2 sets of chapters; the main one is read, 1 chapter of the others left out",)


def test_a_hidden_edition_is_none_to_read(read: Read) -> None:
    """5.1.7.1.1: it is for no one to see, be it the default one."""
    hidden = edition(atom(0, 500, title("A")), atom(500, 900, title("B")), default=True, hidden=True)
    assert listed(read(hidden, edition(atom(100, 700, title("C"))))) == [(100, 700, "C", 0)]
    facts = read(hidden)
    assert (listed(facts), facts.on_chapters) == ([], ("2 chapters hidden, left out",))


def test_hidden_and_disabled_chapters_are_left_out_and_said(read: Read) -> None:
    """5.1.7.1.4.5, and 20.2.5: what lies in a hidden one is no more hidden than it says itself."""
    facts = read(
        edition(
            atom(0, 500, title("Menu"), atom(100, 200, title("Seen")), hidden=True),
            atom(500, 900, title("Advertisement"), atom(600, 700, title("Inside")), enabled=False),
            atom(900, 1_000, title("Of another file"), elsewhere=True),
        )
    )
    assert listed(facts) == [(100, 200, "Seen", 0)]
    assert facts.on_chapters == (
        "1 chapter hidden, left out",
        "2 chapters switched off, left out",
        "1 chapter of another file, left out",
    )
    assert set(facts.on_chapters) <= set(facts.warnings)


@pytest.mark.parametrize(
    ("titles", "text"),
    [
        ([title("Schälen", "ger"), title("Peel", "eng"), title("Pelage", "fre")], "Peel"),
        ([title("Schälen", "ger"), title("Peel")], "Peel"),
        ([title("Schälen", bcp47="de-AT"), title("Peel", "ger", "en-GB")], "Peel"),
        ([title("Schälen", "ger"), title("Pelage", "fre")], "Schälen"),
        ([title("Peel", "eng", "de"), title("Schälen", "ger", "en")], "Schälen"),
        ([], ""),
    ],
)
def test_of_several_languages_english_is_read(titles: list[bytes], text: str, read: Read) -> None:
    """5.1.7.1.4.11: eng where none is told; 5.1.7.1.4.12: ChapLanguageBCP47 counts before ChapLanguage."""
    assert listed(read(edition(atom(0, 500, *titles)))) == [(0, 500, text, 0)]


def test_other_languages_are_said(read: Read) -> None:
    facts = read(edition(atom(0, 500, title("Schälen", "ger"), title("Peel"), title("Pelage", bcp47="fr-CH"))))
    assert facts.on_chapters == ("Titles of its chapters in other languages (fr, ger), left out",)


def test_an_order_of_playing_is_said(read: Read) -> None:
    """20.1.2: ordered chapters play their parts one after the other, whatever lies between."""
    facts = read(edition(atom(500, 900, title("First")), atom(0, 300, title("Second")), ordered=True))
    assert [one.title for one in facts.chapters] == ["Second", "First"]
    assert facts.on_chapters == ("Its chapters tell players to jump; they are read in the order of the recording",)


def test_an_end_before_the_start_is_none(read: Read) -> None:
    assert listed(read(edition(atom(500, 200, title("A")), atom(700, None, title("B"))))) == [
        (500, 700, "A", 0),
        (700, 1_500, "B", 0),
    ]


def test_times_that_no_recording_has_are_left_out_and_said(read: Read) -> None:
    facts = read(edition(atom(0, 500, title("A")), element("b6", element("91", 2**63), title("B"))))
    assert listed(facts) == [(0, 500, "A", 0)]
    assert facts.on_chapters == ("1 chapter at an impossible time, left out",)


def test_thousands_are_read_up_to_a_bound(read: Read) -> None:
    facts = read(edition(*(atom(at // 10, None, title("x")) for at in range(2_500))))
    assert len(facts.chapters) == 2_000
    assert facts.on_chapters == ("It contains 2500 chapters; only the first 2000 are read",)


SIZE = b"\x01" + b"\0" * 6 + b"\x01"
DAMAGES: dict[str, tuple[Callable[[bytes], bytes], list[tuple[str, ...]]]] = {
    "cut off in the last title": (lambda whole: whole[:-1], [("A",), ("",)]),
    "a title that runs out of its chapter": (
        lambda whole: whole.replace(b"\x85" + SIZE, b"\x85\x40\xff" + b"\0" * 6, 1),
        [("",), ("B",)],
    ),
    "a size without a length": (lambda whole: whole.replace(b"\x85" + SIZE, b"\x85" + b"\0" * 8, 1), [("",), ("B",)]),
    "a number of nine bytes": (lambda whole: whole.replace(element("91", 0), element("91", b"\0" * 9), 1), [("",)]),
    "zeros from the second on": (lambda whole: whole[: whole.rindex(b"\xb6")] + b"\0" * 99, [("A",)]),
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_list_is_read_as_far_as_it_goes(damage: str, tmp_path: Path) -> None:
    whole = element(CHAPTERS, edition(atom(0, 500, title("A")), atom(500, 900, title("B"))))
    harm, left = DAMAGES[damage]
    path = tmp_path / "eye.mkv"
    path.write_bytes(element("1a45dfa3") + bytes.fromhex(SEGMENT) + UNKNOWN_SIZE + harm(whole))
    found = editions_in(path)
    assert not found.is_whole
    assert [tuple(one.text for one in chapter.titles) for chapter in found.editions[0].atoms] == left


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=200)
@given(data=st.data())
def test_noise_never_raises(data: st.DataObject, tmp_path: Path) -> None:
    whole = element(CHAPTERS, edition(atom(0, 500, title("A"), atom(1, 2)), atom(500, 900, title("B")), ordered=True))
    at = data.draw(st.integers(0, len(whole) - 1))
    noise = data.draw(st.binary(min_size=1, max_size=12))
    path = tmp_path / "noise.mkv"
    header = element("1a45dfa3", element("4282", "matroska"))
    path.write_bytes(header + element(SEGMENT, whole[:at] + noise + whole[at + len(noise) :]))
    assert isinstance(editions_in(path), Editions)


def test_a_list_of_a_hundred_thousand_levels_ends(tmp_path: Path) -> None:
    """Each level is unknown in size, as no writer makes it."""
    path = tmp_path / "deep.mkv"
    levels = (bytes.fromhex("b6") + UNKNOWN_SIZE) * 100_000
    path.write_bytes(
        element("1a45dfa3") + element(SEGMENT, element(CHAPTERS, bytes.fromhex("45b9") + UNKNOWN_SIZE, levels))
    )
    found = editions_in(path)
    assert not found.is_whole
    assert found.editions[0].count == 20


def test_of_two_lists_in_an_mp4_it_is_said_that_there_are_two(film: Films, tmp_path: Path) -> None:
    facts = probe(write_two_lists(film("h264.mp4"), tmp_path))
    assert len(facts.chapters) == 3
    assert facts.on_chapters == ("It has 2 lists of chapters, perhaps in several languages; they are read as one",)
