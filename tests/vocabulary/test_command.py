"""`annotator vocab`, as it is typed."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from rdflib import Graph
from rdflib.namespace import RDF, SKOS

from annotator.formats.vocabulary import skos
from annotator.store.session import Session
from annotator.store.vocabularies import find, write
from tests.vocabulary.conftest import Outcome
from tests.vocabulary.drawn_by_hand import IRI, case, concept, vocabulary

Vocab = Callable[..., Outcome]
VERBS = ["list", "check", "convert", "compare", "carry", "add", "collect"]


def test_list_says_what_there_is(vocab: Vocab, own: Path) -> None:
    write(own / "ours.csv", vocabulary(concept("core"), version="2.1"))
    done = vocab("list")
    assert done.status == 0
    rows = [line.split("  ") for line in done.out.splitlines()]
    assert [row[0] for row in rows] == ["name", "cataract", "general", "ours", "vitreoretinal"]
    assert str(own / "ours.csv") in done.out
    assert str(own) in done.err


def test_list_says_what_can_t_be_read_and_goes_on(vocab: Vocab, own: Path) -> None:
    (own / "broken.yaml").write_text("name: [", encoding="utf-8")
    done = vocab("list")
    assert done.status == 0
    assert "broken" in done.out
    assert "vitreoretinal" in done.out
    assert "broken.yaml" in done.err


def test_list_prints_a_step_sheet_in_the_order_of_the_operation(vocab: Vocab) -> None:
    done = vocab("list", "vitreoretinal")
    assert [line.split()[-2] for line in done.out.splitlines()[1:]] == [
        one.notation for one in find("vitreoretinal").concepts
    ]
    assert "c      Core vitrectomy " in done.out
    assert "c      Kernvitrektomie " in vocab("list", "vitreoretinal", "--language", "de").out


def test_hostile_labels_stay_on_their_line(vocab: Vocab, tmp_path: Path) -> None:
    write(tmp_path / "ours.yaml", vocabulary(concept("core", label="two\nlines \u202e turned")))
    lines = vocab("list", tmp_path / "ours.yaml").out.splitlines()
    assert len(lines) == 2
    assert "\u202e" not in lines[1]
    assert "turned" in lines[1]


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract", "general"])
def test_check_finds_nothing_in_what_is_built_in(vocab: Vocab, name: str) -> None:
    done = vocab("check", name)
    assert (done.status, done.out) == (0, "")
    assert done.err.startswith("no problems found in")


def test_check_says_every_finding(vocab: Vocab, tmp_path: Path) -> None:
    write(tmp_path / "ours.yaml", vocabulary(concept("core", key="k"), concept("gas", key="k", broader="gas")))
    done = vocab("check", tmp_path / "ours.yaml")
    assert done.status == 1
    assert "core: the key “k” belongs to playback; choose another (key)" in done.out.splitlines()
    assert "gas: each is under the next: gas < gas (cycle)" in done.out.splitlines()


def test_check_says_the_faults_of_what_is_no_vocabulary(vocab: Vocab, tmp_path: Path) -> None:
    (tmp_path / "ours.yaml").write_text("name: ours\nversoin: 1\n", encoding="utf-8")
    done = vocab("check", tmp_path / "ours.yaml")
    assert done.status == 1
    assert "line 2: a vocabulary has no “versoin”; did you mean “version”?" in done.out.splitlines()


def test_check_of_turtle_knows_the_conditions_of_skos(vocab: Vocab, tmp_path: Path) -> None:
    path = tmp_path / "ours.ttl"
    path.write_text(skos.dumps(vocabulary(concept("core"))) + ":core skos:related :gas ; skos:broader :gas .", "utf-8")
    done = vocab("check", path)
    assert done.status == 1
    assert done.out.startswith("S27: ")
    assert "note: not read: skos:related (1)" in done.err


@pytest.mark.parametrize("text", ["a: [", "a: &b c", "\0"])
def test_check_of_what_can_t_be_read(vocab: Vocab, tmp_path: Path, text: str) -> None:
    (tmp_path / "ours.yaml").write_text(text, encoding="utf-8")
    done = vocab("check", tmp_path / "ours.yaml")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"annotator: {tmp_path / 'ours.yaml'}: ")
    assert "Traceback" not in done.err


@pytest.mark.parametrize("ending", [".yaml", ".ttl", ".csv"])
def test_convert_there_and_back_changes_nothing(vocab: Vocab, tmp_path: Path, ending: str) -> None:
    there, back = tmp_path / f"there{ending}", tmp_path / "back.yaml"
    assert vocab("convert", "vitreoretinal", "--out", there).status == 0
    assert vocab("convert", there, "--out", back).status == 0
    assert find(back) == find("vitreoretinal")
    assert vocab("compare", "vitreoretinal", back).out == ""


def test_convert_makes_skos_for_general_tools(vocab: Vocab, tmp_path: Path) -> None:
    vocab("convert", "cataract", "--out", tmp_path / "cataract.ttl")
    graph = Graph().parse(tmp_path / "cataract.ttl")
    assert len(list(graph.subjects(RDF.type, SKOS.Concept))) == len(find("cataract").concepts)


def test_convert_says_what_it_leaves_out(vocab: Vocab, tmp_path: Path) -> None:
    path = tmp_path / "ours.ttl"
    path.write_text(skos.dumps(vocabulary(concept("core"))) + ':core skos:hiddenLabel "cor"@en .', "utf-8")
    done = vocab("convert", path, "--out", tmp_path / "ours.yaml")
    assert (done.status, done.err.splitlines()[0]) == (0, "note: left out: skos:hiddenLabel (1)")


@pytest.mark.parametrize("out", ["ours.txt", "ours", "nosuch/ours.yaml"])
def test_convert_leaves_nothing_where_it_can_t_write(vocab: Vocab, tmp_path: Path, out: str) -> None:
    done = vocab("convert", "general", "--out", tmp_path / out)
    assert done.status == 2
    assert [path for path in tmp_path.iterdir() if path.is_file()] == []


def test_compare(vocab: Vocab, tmp_path: Path) -> None:
    write(tmp_path / "old.yaml", vocabulary(concept("erm"), concept("ilm")))
    write(tmp_path / "new.yaml", vocabulary(concept("peeling", replaces=("erm", "ilm")), version="2"))
    done = vocab("compare", tmp_path / "old.yaml", tmp_path / "new.yaml")
    assert (done.status, done.err) == (0, "1 change from ours 1 to ours 2\n")
    assert done.out.splitlines()[1:] == ["merged  “Erm” and “Ilm” are now “Peeling”"]
    found = json.loads(vocab("compare", tmp_path / "old.yaml", tmp_path / "new.yaml", "--format", "json").out)
    assert found["new"] == {"iri": IRI, "name": "ours", "version": "2"}
    assert found["changes"] == [
        {"kind": "merged", "before": ["erm", "ilm"], "after": ["peeling"], "says": "“Erm” and “Ilm” are now “Peeling”"}
    ]


def test_carry(vocab: Vocab, tmp_path: Path) -> None:
    old = vocabulary(concept("core"), concept("peeling"), concept("gas"))
    parts = [concept("erm", replaces=("peeling",)), concept("ilm", replaces=("peeling",))]
    write(tmp_path / "new.yaml", vocabulary(concept("centre", replaces=("core",)), *parts, version="2"))
    path = tmp_path / "case.jsonld"
    Session.create(path, case(old, [("core", 0, 10), ("peeling", 10, 20), ("gas", 20, 30)])).close()
    done = vocab("carry", path, tmp_path / "new.yaml")
    assert done.status == 0, done.err
    assert done.err.splitlines() == [
        "note: “Core” is now “Centre” (1 tag)",
        "note: “Peeling” is split: taken as “Erm” and unconfirmed, since it may be “Ilm” (1 tag)",
        "note: “Gas” is not in ours 2: the old term is kept (1 tag)",
        f"{path} now uses ours 2, with 3 tags",
    ]
    with Session.open(path, writable=False) as session:
        assert session.case.vocabulary == find(tmp_path / "new.yaml")
        assert [tag.concept for tag in session.case.tags] == [f"{IRI}#{one}" for one in ("centre", "erm", "gas")]
        assert [tag.confirmed for tag in session.case.tags] == [True, False, True]


def test_carry_changes_nothing_where_the_vocabulary_can_t_be_read(vocab: Vocab, tmp_path: Path) -> None:
    path = tmp_path / "case.jsonld"
    Session.create(path, case(vocabulary(concept("core")), [("core", 0, 10)])).close()
    before = path.read_bytes()
    (tmp_path / "new.yaml").write_text("name: new", encoding="utf-8")
    assert vocab("carry", path, tmp_path / "new.yaml").status == 2
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "arguments",
    [
        *(["list", "nosuch"], ["check"], ["check", "nosuch"], ["check", "nosuch.yaml"], ["convert", "general"]),
        *(["compare", "general"], ["compare", "general", "general", "--format", "xml"], ["carry", "nosuch", "general"]),
        *([], ["chek"], ["list", "--nosuch"]),
    ],
    ids=" ".join,
)
def test_wrong_use_is_a_sentence_and_status_2(vocab: Vocab, arguments: list[str]) -> None:
    done = vocab(*arguments)
    assert (done.status, done.out) == (2, "")
    assert done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_has_an_example_in_its_help(vocab: Vocab, verb: str) -> None:
    done = vocab(verb, "--help")
    assert done.status == 0
    assert f"Example:  annotator vocab {verb}" in done.out
    assert "--quiet" in done.out


def test_quiet(vocab: Vocab, tmp_path: Path) -> None:
    for arguments in (["check", "general"], ["convert", "general", "--out", str(tmp_path / "g.csv")]):
        assert vocab(*arguments, "--quiet") == (0, "", "")


def test_help_loads_no_heavy_library() -> None:
    """Nor do the verbs on YAML load the RDF library."""
    script = (
        "import sys; sys.argv = ['annotator', 'vocab', 'check', 'general', '--quiet']\n"
        "from annotator.cli import main\n"
        "try: main.run()\n"
        "except SystemExit: pass\n"
        "print(sorted({'rdflib', 'PySide6', 'cv2', 'av', 'numpy'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# --- terms that cases add themselves --------------------------------------------------------------------------------


@pytest.fixture
def cases(tmp_path: Path) -> tuple[Path, Path]:
    """Two cases of one vocabulary, nothing tagged."""
    ours = vocabulary(
        concept("membrane-work", "phase", label="Membrane work"), concept("peel", broader="membrane-work")
    )
    paths = tmp_path / "one.case.jsonld", tmp_path / "two.case.jsonld"
    for path in paths:
        with Session.create(path, replace(case(ours, []), id=f"urn:example:{path.name}")):
            pass
    return paths


def test_a_missing_term_is_added_to_the_case_alone(vocab: Vocab, cases: tuple[Path, Path]) -> None:
    path, other = cases
    done = vocab("add", path, "macular rotation", "--under", "membrane-work")
    assert (done.status, done.err) == (0, f"“Macular rotation” added under Membrane work, in {path}\n")
    with Session.open(path, writable=False) as session, Session.open(other, writable=False) as untouched:
        assert session.case.vocabulary.match("macular rotation").broader == "membrane-work"
        assert not untouched.case.vocabulary.knows("macular rotation")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("peeled", "--under", "membrane-work"), "it means “Peel”"),
        (("rotation",), "Say what the new term stands under"),
        (("rotation", "--under", "membrane wrok"), "did you mean “Membrane work”?"),
        (("rotation", "--facet", "stp"), "did you mean “step”?"),
    ],
)
def test_a_term_that_is_none_changes_nothing(
    vocab: Vocab, cases: tuple[Path, Path], arguments: tuple[str, ...], says: str
) -> None:
    before = cases[0].read_bytes()
    done = vocab("add", cases[0], *arguments)
    assert done.status == 2
    assert says in done.err
    assert cases[0].read_bytes() == before


def test_terms_of_several_cases_are_collected_and_the_cases_carried(
    vocab: Vocab, cases: tuple[Path, Path], tmp_path: Path
) -> None:
    into = tmp_path / "department.yaml"
    assert vocab("collect", *cases, "--into", into).status == 2, "there is nothing to collect"
    assert not into.exists()
    vocab("add", cases[0], "macular rotation", "--under", "membrane-work")
    vocab("add", cases[1], "rotation of the macula", "--under", "membrane-work")
    done = vocab("collect", *cases, "--into", into)
    assert done.status == 0
    said = "“Macular rotation” under Membrane work: 2 cases, 0 tags, also written “Rotation of the macula”"
    assert done.out.splitlines() == [said]
    assert f"1 term added to {into}" in done.err
    assert [one.notation for one in find(into).concepts] == ["membrane-work", "peel", "macular-rotation"]
    again = vocab("collect", *cases, "--into", into)
    assert (again.status, len(find(into).concepts)) == (1, 3)
    assert vocab("carry", cases[1], into).status == 0
    with Session.open(cases[1], writable=False) as session:
        assert [one.notation for one in session.case.vocabulary.concepts] == [
            "membrane-work",
            "peel",
            "macular-rotation",
        ]


def test_a_case_that_is_named_twice_counts_once(vocab: Vocab, cases: tuple[Path, Path], tmp_path: Path) -> None:
    vocab("add", cases[0], "macular rotation", "--under", "membrane-work")
    again = cases[0].parent / "." / cases[0].name
    done = vocab("collect", cases[0], again, "--into", tmp_path / "department.yaml")
    assert done.out == "“Macular rotation” under Membrane work: 1 case, 0 tags\n"


def test_what_a_new_term_is_similar_to_is_said(vocab: Vocab, cases: tuple[Path, Path]) -> None:
    vocab("add", cases[0], "macular rotation", "--under", "membrane-work")
    done = vocab("add", cases[0], "macular rotatoin", "--under", "membrane-work")
    assert "“Macular rotatoin” added under Membrane work; similar to “Macular rotation”" in done.err


@pytest.mark.parametrize("path", ["/", "//", "."])
def test_a_path_without_a_name_is_no_case(vocab: Vocab, tmp_path: Path, path: str) -> None:
    for refused in (
        vocab("collect", path, "--into", tmp_path / "department.yaml"),
        vocab("add", path, "macular rotation", "--under", "membrane-work"),
    ):
        assert refused.status == 2
        assert "is not a file" in refused.err


@pytest.mark.parametrize("ending", [".yaml", ".ttl", ".csv"])
def test_terms_are_collected_into_each_format(
    vocab: Vocab, cases: tuple[Path, Path], tmp_path: Path, ending: str
) -> None:
    into = tmp_path / f"department{ending}"
    write(into, vocabulary(concept("membrane-work", "phase"), concept("other")))
    vocab("add", cases[0], "macular rotation", "--under", "membrane-work")
    assert vocab("collect", cases[0], "--into", into).status == 0
    assert find(into).match("macular rotation").broader == "membrane-work"
    assert find(into).match("other")


def test_what_is_no_vocabulary_is_not_written_over(vocab: Vocab, cases: tuple[Path, Path], tmp_path: Path) -> None:
    into = tmp_path / "notes.yaml"
    into.write_text("what: notes of my own\n", encoding="utf-8")
    vocab("add", cases[0], "macular rotation", "--under", "membrane-work")
    assert vocab("collect", cases[0], "--into", into).status == 2
    assert vocab("collect", cases[0], "--into", cases[1]).status == 2
    assert into.read_text(encoding="utf-8") == "what: notes of my own\n"
    with Session.open(cases[1], writable=False) as session:
        assert len(session.case.vocabulary.concepts) == 2
