"""Tables as spreadsheets save them."""

import csv
import io

import pytest

from annotator.errors import InvalidFile
from annotator.formats.vocabulary import vocabulary_csv
from annotator.store.vocabularies import find
from tests.vocabulary.drawn_by_hand import concept, vocabulary

TABLE = """\
kind,notation,facet,broader,key,exclusive,moments,usuallyAfter,replaces,version,iri,prefLabel@en,altLabel@en
vocabulary,ours,,,,,,,,1.0,https://department.example/vocab/ours,Ours,
facet,phase,,,,yes,,,,,,Phase,
facet,step,,,,TRUE,,,,,,Step,
concept,access,phase,,,,,,,,,Access,
concept,ports,step,access,p,,,,,,,Port placement,trocars; sclerotomies
concept,core,step,access,c,,,ports; ports ;,gel; old-core,,,Core vitrectomy,core
"""


def faults(text: str) -> tuple[str, ...]:
    with pytest.raises(InvalidFile) as caught:
        vocabulary_csv.loads(text)
    return caught.value.faults


def test_a_table_is_read() -> None:
    read = vocabulary_csv.loads(TABLE)
    assert (read.name, read.version, read.title) == ("ours", "1.0", {"en": "Ours"})
    assert [facet.exclusive for facet in read.facets] == [True, True]
    core = read.by_notation["core"]
    assert core.iri == "https://department.example/vocab/ours#core"
    assert (core.broader, core.key, core.usually_after, core.replaces) == (
        "access",
        "c",
        ("ports",),
        ("gel", "old-core"),
    )
    assert read.by_notation["ports"].alt_label == {"en": ("sclerotomies", "trocars")}


def separated_by(delimiter: str) -> str:
    """The table as a spreadsheet of another country writes it."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(csv.reader(io.StringIO(TABLE)))
    return out.getvalue()


@pytest.mark.parametrize(
    "saved",
    [
        separated_by(";"),
        separated_by("\t"),
        "\ufeff" + TABLE,
        TABLE.replace("\n", "\r\n"),
        TABLE.replace("\n", "\n,,,,\n"),
        TABLE.replace("\nfacet", "\n Facet "),
    ],
    ids=["semicolons", "tabs", "byte order mark", "other line ends", "empty rows", "kind in capitals"],
)
def test_it_is_read_as_any_spreadsheet_saves_it(saved: str) -> None:
    assert vocabulary_csv.loads(saved) == vocabulary_csv.loads(TABLE)


def test_a_general_csv_reader_finds_a_row_for_each_thing() -> None:
    general = find("general")
    rows = list(csv.DictReader(io.StringIO(vocabulary_csv.dumps(general), newline="")))
    assert [row["notation"] for row in rows if row["kind"] == "concept"] == [one.notation for one in general.concepts]
    assert next(row for row in rows if row["notation"] == "closure")["usuallyAfter"] == (
        "approach; dissection; drain; haemostasis; key-manoeuvre"
    )


@pytest.mark.parametrize("label", ["=1+1", "+1", "-1", "@sum", "=cmd|' /C calc'!A0"])
def test_no_cell_is_a_formula(label: str) -> None:
    """OWASP, “CSV Injection”: a cell that begins with = + - @ is run by a spreadsheet."""
    made = vocabulary(concept("core", label=label, alt_label={"en": (label, "other")}))
    for row in csv.reader(io.StringIO(vocabulary_csv.dumps(made), newline="")):
        assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row)
    assert vocabulary_csv.loads(vocabulary_csv.dumps(made)) == made


def test_a_semicolon_in_a_synonym_is_kept() -> None:
    made = vocabulary(concept("core", alt_label={"en": ("a; b", "c\\", " d ", "e")}))
    assert vocabulary_csv.loads(vocabulary_csv.dumps(made)) == made


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("broader,key", "boader,key", "there is no column “boader”; did you mean “broader”?"),
        ("prefLabel@en", "prefLabel", "there is no column “prefLabel”; did you mean prefLabel@en?"),
        ("altLabel@en", "prefLabel@en", "the column “prefLabel@en” is there more than once"),
        ("kind,notation", "kind,name", "there is no column “name”"),
        ("vocabulary,ours", "facet,ours", "one row is of the kind “vocabulary”, not 0"),
        (
            "facet,step",
            "facette,step",
            "line 4: a row is of the kind “vocabulary”, “operation”, “facet” or “concept”, not “facette”",
        ),
        ("TRUE", "maybe", "line 4, exclusive: “maybe” is neither true nor false"),
        ("ports,step", "ports,stp", "line 6, facet: there is no facet “stp”; did you mean “step”?"),
        (",Access,", ",,", "line 5: a concept needs “prefLabel”"),
        ("concept,core", "concept,ports", "line 7, notation: the notation “ports” is taken already (line 6, notation)"),
        (",1.0,", ",,", "line 2: a vocabulary needs “version”"),
    ],
)
def test_a_fault_says_its_line_and_column(before: str, after: str, says: str) -> None:
    assert faults(TABLE.replace(before, after, 1))[0].startswith(says)


@pytest.mark.parametrize(
    "text", ["", "\n\n", "kind\n", "a,b\n1,2\n", "notation\n" + '"' + "x" * 200_000, "x" * 2_000_001]
)
def test_what_is_no_such_table_is_refused(text: str) -> None:
    assert faults(text)


def test_a_vocabulary_without_concepts_is_a_table_too() -> None:
    empty = vocabulary()
    assert vocabulary_csv.loads(vocabulary_csv.dumps(empty)) == empty
