"""Small files made to take long: work grows with the text and not with its square, and what is too much is refused.

The sizes are such that a reader whose work grows with the square would not come back before the tests are stopped,
on any machine; one whose work grows with the text is done at once.
"""

import difflib
import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches

import pytest

from annotator import errors
from annotator.errors import MOST_FAULTS, InvalidFile
from annotator.formats.captions import subrip, webvtt
from annotator.formats.case import casefile
from annotator.formats.case.journal import Record
from annotator.formats.case.journal_record import replayed
from annotator.formats.tables import tags_csv
from annotator.formats.vocabulary import skos, vocabulary_csv
from annotator.formats.vocabulary.form import MOST_CONCEPTS, from_plain
from annotator.measure.findings import findings
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.publish.report.table import _left, columns
from tests.formats.example_case import CASE, REVISION
from tests.vocabulary.drawn_by_hand import case as case_of
from tests.vocabulary.drawn_by_hand import concept, vocabulary

SRT = "1\n00:00:01,000 --> 00:00:02,000\n"
VTT = "WEBVTT\n\n00:01.000 --> 00:02.000\n"
PREFIXES = "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n@prefix : <urn:x:> .\n"


@pytest.fixture
def compared(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names for which like ones were looked for."""
    names: list[str] = []

    def noted(name: str, known: Iterable[str], n: int, cutoff: float) -> list[str]:
        names.append(name)
        return get_close_matches(name, known, n, cutoff)

    monkeypatch.setattr(difflib, "get_close_matches", noted)
    return names


@pytest.mark.parametrize("piece", ["<font ", "<b <", "{\\", "</i\t", "<s <s>"], ids=str.strip)
def test_captions_of_nothing_but_the_beginning_of_markup(piece: str) -> None:
    (cue,) = subrip.loads(SRT + piece * 1_000_000).cues
    assert cue.text.startswith(piece.replace("<s>", "").strip())


@pytest.mark.parametrize(
    "line",
    ["1" * 3_000_000, "1 " * 1_000_000, " " * 3_000_000 + "1", "1" + " " * 3_000_000 + "x"],
    ids=["a number", "numbers", "a number behind blanks", "text behind blanks"],
)
def test_captions_with_one_endless_line(line: str) -> None:
    first, second = subrip.loads(f"{SRT}text\n{line}\n00:00:03,000 --> 00:00:04,000\nmore\n").cues
    assert first.text == "text" if line.strip().isdecimal() else first.text.startswith("text\n")
    assert second.text == "more"


@pytest.mark.parametrize("read", [subrip.loads, webvtt.loads], ids=["subrip", "webvtt"])
def test_more_cues_than_anybody_makes_are_not_read(read: Callable[[str], object]) -> None:
    with pytest.raises(InvalidFile, match="more than 100,000 cues"):
        read((SRT if read is subrip.loads else VTT) + "-->" * 100_000)


@pytest.mark.parametrize(
    ("reference", "text"),
    [
        ("&#" + "1" * 5_000 + ";", "\ufffd"),
        ("&#x" + "f" * 5_000, "\ufffd"),
        ("&#" + "0" * 5_000 + "65;", "A"),
        ("&#x" + "0" * 5_000 + "41;", "A"),
        ("&#1114112;", "\ufffd"),
        ("&#x10fffd;", "\U0010fffd"),
        ("&#0;", "\ufffd"),
    ],
    ids=["decimal", "hexadecimal", "zeros", "zeros, hexadecimal", "next to the last", "nearly the last", "nothing"],
)
def test_a_reference_to_a_number_of_any_length(reference: str, text: str) -> None:
    """HTML, section 13.2.5.80: beyond the last character the replacement character is meant."""
    assert webvtt.loads(f"{VTT}{reference}.\n").cues[0].text == f"{text}."


@pytest.mark.parametrize("digits", [5, 5_000, 1_000_000])
def test_a_time_of_any_number_of_digits_is_a_fault_or_late(digits: int) -> None:
    hours = "9" * digits
    assert len(webvtt.loads(f"WEBVTT\n\n{hours}:00:01.000 --> {hours}:00:02.000\nlate\n").faults) == 1
    assert len(subrip.loads(f"1\n{hours}:00:01,000 --> {hours}:00:02,000\nlate\n").faults) == 1


def test_like_names_are_looked_for_only_for_the_faults_that_are_told(compared: list[str]) -> None:
    names = ",".join(f"strat{number}" for number in range(20_000))
    for read in (tags_csv.loads, vocabulary_csv.loads):
        compared.clear()
        with pytest.raises(InvalidFile) as caught:
            read(names)
        assert len(compared) <= MOST_FAULTS
        assert len(caught.value.faults) + caught.value.more > 20_000
    compared.clear()
    concepts = [
        {"notation": f"n{number}", "facet": f"stp{number}", "prefLabel": {"en": "x"}} for number in range(MOST_CONCEPTS)
    ]
    with pytest.raises(InvalidFile, match="and 4,950 more"):
        from_plain(
            {"iri": "urn:x:y", "name": "n", "version": "1", "title": {"en": "t"}, "facets": [], "concepts": concepts}
        )
    assert len(compared) == MOST_FAULTS


def test_a_name_is_compared_with_names_like_it_not_with_endless_ones(compared: list[str]) -> None:
    assert errors.nearest("core", ["x" * 1_000_000, "cores"]) == ("cores",)
    assert errors.nearest("x" * 1_000_000, ["core"]) == ()
    assert compared == ["core"]


def test_a_table_of_more_rows_than_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tags_csv, "MOST_ROWS", 3)
    head = "start,end,step\n"
    assert len(tags_csv.loads(head + "1,2,air\n" * 3)) == 3
    with pytest.raises(InvalidFile, match="line 5: only 3 rows are read; split the table"):
        tags_csv.loads(head + "1,2,air\n" * 4)


def test_a_vocabulary_of_more_lines_than_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(vocabulary_csv, "_MOST_LINES", 3)
    with pytest.raises(InvalidFile, match="line 4: only 3 lines are read"):
        vocabulary_csv.loads("kind,notation\n" + "x,y\n" * 3)


def test_a_graph_of_more_statements_than_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(skos, "MOST_TRIPLES", 10)
    with pytest.raises(InvalidFile, match="more than 10 statements"):
        skos.loads("<urn:a> <urn:b> (1 2 3 4 5 6 7 8 9) .")


@pytest.mark.parametrize("relation", ["skos:broader", "skos:exactMatch"])
def test_a_hierarchy_too_tangled_to_be_checked(relation: str) -> None:
    """The condition S27 asks of every related pair whether one is above the other, S46 the same of matches."""
    links = "".join(
        f":c{number} skos:inScheme :s; {relation} :c{number + 1}; skos:related :r; skos:relatedMatch :r .\n"
        for number in range(1_200)
    )
    with pytest.raises(InvalidFile, match="too many concepts stand above each other"):
        skos.examine(f"{PREFIXES}:s a skos:ConceptScheme .\n{links}")


def test_too_many_concepts_are_refused_before_they_are_looked_at() -> None:
    concepts = "".join(f":c{number} skos:inScheme :s .\n" for number in range(MOST_CONCEPTS + 1))
    with pytest.raises(InvalidFile, match="5001 concepts are more than the 5000 that are read"):
        skos.loads(f"{PREFIXES}:s a skos:ConceptScheme .\n{concepts}")


def test_a_case_file_whose_last_quotation_mark_is_not_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(casefile, "MOST_VALUES", 10)
    with pytest.raises(InvalidFile, match="not valid JSON"):
        casefile.loads(b'{"a": "' + b',\\"' * 3_000_000)


def test_the_gaps_of_many_tags_are_found_in_one_walk(monkeypatch: pytest.MonkeyPatch) -> None:
    tags = [("core", 90_000 * number, 90_000 * number + 1_000) for number in range(1_000)]
    case = case_of(vocabulary(concept("core")), tags)
    ranges = []
    real = Case.range_of

    def counted(self: Case, tag: Tag) -> Interval:
        ranges.append(tag)
        return real(self, tag)

    monkeypatch.setattr(Case, "range_of", counted)
    assert sum(finding.kind == "gap" for finding in findings(case)) == 999
    assert len(ranges) < 20 * len(tags)


def test_a_label_of_any_length_is_cut_to_its_column() -> None:
    assert _left("x" * 100_000, 20) == "x" * 19 + "…"
    assert _left("眼" * 100_000, 20) == "眼" * 9 + "… "
    assert columns(_left("e\u0301" * 30, 20)) == 20
    assert _left("short", 8) == "short   "


@pytest.mark.parametrize("odd", [None, 7, ["urn:x"], {"a": 1}])
def test_a_journal_of_changes_without_a_proper_id(odd: object) -> None:
    document = casefile.parsed(casefile.dumps(CASE, REVISION))
    record = Record(REVISION + 1, CASE.id, put=({"id": odd},) if odd is not None else ({},))
    with pytest.raises(InvalidFile, match=re.escape(f"first.items[{len(CASE.tags)}]")):
        casefile.case_of(replayed(document, [record, record]))


def test_a_journal_beside_a_case_whose_one_tag_stands_alone() -> None:
    """As JSON-LD has it, a list of one may be written without brackets."""
    document = casefile.parsed(casefile.dumps(CASE, REVISION))
    document["first"]["items"] = document["first"]["items"][0]
    case, revision = casefile.case_of(replayed(document, [Record(REVISION + 1, CASE.id, drop=("urn:nothing",))]))
    assert (len(case.tags), revision) == (1, REVISION + 1)
