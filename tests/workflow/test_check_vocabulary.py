"""A vocabulary is checked by its name or file: what it had better not say, and what of it has no place here."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidFile, StoreError, UnknownName
from annotator.formats.vocabulary import skos
from annotator.store.vocabularies import find, known, write
from annotator.workflow.check_vocabulary import check_vocabulary, read_vocabulary
from tests.vocabulary.drawn_by_hand import PHASE, STEP, concept, vocabulary

SOUND = vocabulary(
    concept("vitrectomy", facet="phase"), concept("core", broader="vitrectomy", key="c"), facets=(PHASE, STEP)
)
"""Nothing to find in it."""

CLASHING = vocabulary(concept("core", key="k"), concept("gas", key="g", broader="gas"))

BROKEN = f"""{skos.dumps(SOUND)}
<urn:example:oil> a skos:Concept , skos:ConceptScheme ; skos:prefLabel "Oil"@en .
"""
FURTHER = '<https://department.example/vocab/ours#core> skos:changeNote "renamed"@en .'


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract", "general"])
def test_what_is_built_in_is_known_by_its_name_and_sound(name: str) -> None:
    found = check_vocabulary(name)
    assert (found.vocabulary, found.findings, found.left_out, found.more) == (find(name), (), (), 0)
    assert found.path.stem == name


@pytest.mark.parametrize("ending", ["yaml", "csv", "ttl"])
def test_the_same_is_found_in_every_format(tmp_path: Path, ending: str) -> None:
    write(tmp_path / f"ours.{ending}", CLASHING)
    found = check_vocabulary(str(tmp_path / f"ours.{ending}"))
    assert found.vocabulary == CLASHING
    assert "core: the key “k” belongs to playback; choose another (key)" in found.findings
    assert "gas: each is under the next: gas < gas (cycle)" in found.findings


def test_what_is_sound_has_no_findings_in_any_format(tmp_path: Path) -> None:
    for ending in ("yaml", "csv", "ttl"):
        write(tmp_path / f"ours.{ending}", SOUND)
        found = check_vocabulary(str(tmp_path / f"ours.{ending}"))
        assert (found.vocabulary, found.findings, found.left_out) == (SOUND, (), ())


def test_what_is_said_of_the_whole_bears_the_name_of_the_vocabulary(tmp_path: Path) -> None:
    write(tmp_path / "ours.yaml", vocabulary(*SOUND.concepts))
    assert check_vocabulary(str(tmp_path / "ours.yaml")).findings == (
        "ours: the category technique has no concepts (facet)",
        "ours: the category event has no concepts (facet)",
    )


def test_in_turtle_the_conditions_of_skos_are_checked(tmp_path: Path) -> None:
    """SKOS Reference, S9: a concept scheme is no concept."""
    (tmp_path / "ours.TTL").write_text(BROKEN, encoding="utf-8")
    found = check_vocabulary(str(tmp_path / "ours.TTL"))
    assert any(one.startswith("S9: ") and "oil" in one for one in found.findings)


def test_a_condition_that_the_graph_breaks_is_told_once(tmp_path: Path) -> None:
    """The same breach shows in the graph and in the vocabulary read from it: a label that is a synonym too (S13)."""
    phase, core = SOUND.concepts
    doubled = replace(SOUND, concepts=(phase, replace(core, alt_label={"en": ("Core",)})))
    write(tmp_path / "ours.ttl", doubled)
    write(tmp_path / "ours.yaml", doubled)
    (in_turtle,) = check_vocabulary(str(tmp_path / "ours.ttl")).findings
    (elsewhere,) = check_vocabulary(str(tmp_path / "ours.yaml")).findings
    assert in_turtle.startswith("S13: ")
    assert elsewhere.endswith("(S13)")


def test_what_has_no_place_here_is_said(tmp_path: Path) -> None:
    (tmp_path / "ours.ttl").write_text(f"{skos.dumps(SOUND)}\n{FURTHER}\n", encoding="utf-8")
    found = check_vocabulary(str(tmp_path / "ours.ttl"))
    (left_out,) = found.left_out
    assert "changeNote" in left_out
    assert read_vocabulary(str(tmp_path / "ours.ttl")) == (SOUND, found.left_out)


@pytest.mark.parametrize("ending", ["yaml", "csv", "ttl"])
def test_a_vocabulary_is_read_from_every_format(tmp_path: Path, ending: str) -> None:
    write(tmp_path / f"ours.{ending}", SOUND)
    assert read_vocabulary(str(tmp_path / f"ours.{ending}")) == (SOUND, ())


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("ours.yaml", "name: ours\nversoin: 1\n"),
        ("ours.ttl", "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n<urn:a> a skos:Concept .\n"),
    ],
)
def test_the_faults_of_what_is_no_sound_vocabulary_are_its_findings(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    found = check_vocabulary(str(tmp_path / name))
    assert (found.path, found.vocabulary) == (tmp_path / name, None)
    assert len(found.findings) >= 1
    with pytest.raises(InvalidFile) as refused:
        read_vocabulary(str(tmp_path / name))
    assert str(tmp_path / name) in refused.value.what


def test_of_very_many_faults_the_others_are_counted(tmp_path: Path) -> None:
    lines = "".join(f"no-{number}: 1\n" for number in range(60))
    (tmp_path / "ours.yaml").write_text(f"name: ours\n{lines}", encoding="utf-8")
    found = check_vocabulary(str(tmp_path / "ours.yaml"))
    assert len(found.findings) == 50
    assert found.more >= 10


@pytest.mark.parametrize(
    ("name", "text"),
    [("ours.yaml", "name: ["), ("ours.ttl", "this is no Turtle"), ("ours.csv", "kind,notation\nconcept,core\n")],
)
def test_what_is_not_in_the_format_of_its_ending_is_refused(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(InvalidFile, match="ours"):
        check_vocabulary(str(tmp_path / name))


def test_what_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(UnknownName) as unknown:
        check_vocabulary("vitreoretinl")
    assert "vitreoretinal" in str(unknown.value)
    with pytest.raises(StoreError, match="There is no file"):
        check_vocabulary(str(tmp_path / "gone.yaml"))


def test_the_checks_are_tried_on_every_vocabulary_that_is_built_in() -> None:
    assert set(known()) == {"vitreoretinal", "cataract", "general"}
