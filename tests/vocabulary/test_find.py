"""Where vocabularies are found, and what is said where none is."""

import os
from pathlib import Path

import platformdirs
import pytest

from annotator.errors import InvalidFile, InvalidVocabulary, StoreError, UnknownName
from annotator.formats.vocabulary import vocabulary_yaml
from annotator.store import vocabularies
from annotator.store.facts import find_facts
from annotator.store.roles import find_roles
from annotator.store.scores import find_sheet
from annotator.store.vocabularies import LARGEST, catalogue, find, known, write
from tests.vocabulary.drawn_by_hand import concept, vocabulary

OURS = vocabulary(concept("core"))


def test_the_built_in_ones_are_known(own: Path) -> None:
    assert known() == ("cataract", "general", "vitreoretinal")


@pytest.mark.parametrize("name", ["cataract", "general", "vitreoretinal"])
def test_a_built_in_one_is_called_as_its_file(own: Path, name: str) -> None:
    assert find(name).name == name


@pytest.mark.parametrize("ending", [".yaml", ".yml", ".ttl", ".csv", ".YAML"])
def test_an_own_one_is_found_by_name_and_by_path(own: Path, ending: str) -> None:
    write(own / f"ours{ending}", OURS)
    assert find("ours") == find(own / f"ours{ending}") == OURS
    assert "ours" in known()


def test_an_own_one_stands_in_place_of_a_built_in_one(own: Path) -> None:
    write(own / "general.yaml", OURS)
    assert find("general") == OURS
    assert [entry.own for entry in catalogue() if entry.name == "general"] == [True]


def test_the_roles_beside_them_are_no_vocabulary(own: Path) -> None:
    (own / "roles.yaml").write_text("roles:\n  - {code: lead, prefLabel: {en: lead surgeon}}\n", encoding="utf-8")
    assert list(find_roles().by_code) == ["lead"]
    assert "teacher" in find_roles(own=False).by_code
    assert "roles" not in known()


def test_faults_of_own_roles_are_told_with_their_file(own: Path) -> None:
    (own / "roles.yaml").write_text("roles:\n  - {code: lead}\n", encoding="utf-8")
    with pytest.raises(InvalidFile, match=r"roles\.yaml: this is not a valid list of roles: line 2: a role needs"):
        find_roles()


def test_own_facts_beside_them_add_to_the_built_in_ones(own: Path) -> None:
    """One of the same code stands in its place; what is counted over many cases is still there."""
    mine = "  - {code: gauge, prefLabel: {en: Gauge}, kind: number}\n"
    mine += "  - {code: theatre, prefLabel: {en: Theatre}, kind: text}\n"
    built_in = find_facts()
    (own / "facts.yaml").write_text(f"facts:\n{mine}together:\n  - [theatre, month]\n", encoding="utf-8")
    known_facts = find_facts()
    assert list(known_facts.by_code) == [*built_in.by_code, "theatre"]
    assert known_facts.by_code["gauge"].kind == "number"
    assert known_facts.together == (*built_in.together, ("theatre", "month"))
    assert "facts" not in known()


def test_faults_of_own_facts_are_told_with_their_file(own: Path) -> None:
    (own / "facts.yaml").write_text("facts:\n  - {code: lead}\n", encoding="utf-8")
    with pytest.raises(InvalidFile, match=r"facts\.yaml: this is not a valid list of facts"):
        find_facts()


def test_yaml_comes_first_where_a_name_is_there_twice(own: Path) -> None:
    write(own / "ours.yaml", OURS)
    write(own / "ours.ttl", vocabulary(concept("other")))
    assert find("ours") == OURS


def test_while_nothing_changes_in_a_file_it_is_the_same_vocabulary(own: Path) -> None:
    write(own / "ours.yaml", OURS)
    first = find("ours")
    assert find("ours") is first
    write(own / "ours.yaml", vocabulary(concept("other")), replace=True)
    assert find("ours") == vocabulary(concept("other"))
    assert find("general") is find("general")


def test_the_own_folder_need_not_exist(own: Path) -> None:
    own.rmdir()
    assert find("general").name == "general"
    assert not own.exists(), "looking for a vocabulary makes no folder"


def test_the_own_folder_is_where_the_system_keeps_data(monkeypatch: pytest.MonkeyPatch) -> None:
    assert vocabularies.own_folder().parent == platformdirs.user_data_path("surgical-step-annotator", appauthor=False)


def test_a_name_that_nothing_answers_to(own: Path) -> None:
    with pytest.raises(UnknownName) as caught:
        find("vitreoretinl")
    assert caught.value.nearest == ("vitreoretinal",)


@pytest.mark.parametrize("name", ["nosuch.yaml", "nosuch/general", "http://x.example/v.yaml", "", "a\0b"])
def test_a_path_that_leads_nowhere(own: Path, name: str) -> None:
    with pytest.raises((StoreError, UnknownName)):
        find(name)


def test_only_files_with_a_known_ending_are_read(own: Path, tmp_path: Path) -> None:
    (tmp_path / "ours.txt").write_text("iri: x", encoding="utf-8")
    with pytest.raises(StoreError, match=r"ends in “.yaml”, “.yml”, “.ttl” or “.csv”"):
        find(tmp_path / "ours.txt")


def test_a_folder_is_no_vocabulary(own: Path, tmp_path: Path) -> None:
    (tmp_path / "folder.yaml").mkdir()
    with pytest.raises(StoreError):
        find(tmp_path / "folder.yaml")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes have no name here")
def test_a_pipe_is_not_waited_for(own: Path, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    with pytest.raises(StoreError):
        find(tmp_path / "pipe.yaml")


def test_a_huge_file_is_not_read(own: Path, tmp_path: Path) -> None:
    path = tmp_path / "huge.yaml"
    with path.open("wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises((StoreError, InvalidFile)):
        find(path)


def test_a_byte_order_mark_does_no_harm(own: Path, tmp_path: Path) -> None:
    path = tmp_path / "ours.yaml"
    path.write_text(vocabulary_yaml.dumps(OURS), encoding="utf-8-sig")
    assert find(path) == OURS


def test_a_table_says_its_encoding(own: Path) -> None:
    """Spreadsheets take UTF-8 without a byte order mark for the encoding of the country."""
    write(own / "ours.csv", OURS)
    assert (own / "ours.csv").read_bytes().startswith(b"\xef\xbb\xbfkind,")


def test_another_encoding_is_refused(own: Path, tmp_path: Path) -> None:
    path = tmp_path / "ours.yaml"
    path.write_bytes("name: Ärzte".encode("latin-1"))
    with pytest.raises(InvalidFile, match="not UTF-8 text: byte 6"):
        find(path)


def test_faults_are_told_with_the_file(own: Path, tmp_path: Path) -> None:
    path = tmp_path / "ours.yaml"
    path.write_text("name: ours", encoding="utf-8")
    with pytest.raises(InvalidVocabulary) as caught:
        find(path)
    assert str(caught.value).startswith(f"{path}: this is not a valid vocabulary\n  line 1: a vocabulary needs “iri”")


def test_nothing_is_written_over_where_writing_fails(own: Path) -> None:
    with pytest.raises(StoreError):
        write(own / "nosuch" / "ours.yaml", OURS)
    with pytest.raises(StoreError):
        write(own / "ours.txt", OURS)
    assert list(own.iterdir()) == []


def test_a_score_sheet_of_the_own_folder_takes_the_place_of_the_example_and_is_no_vocabulary(own: Path) -> None:
    assert "score-sheet" not in known()
    level = "[{score: 1, anchor: {en: no}}, {score: 2, anchor: {en: yes}}]"
    (own / "score-sheet.yaml").write_text(
        "code: ours\nprefLabel: {en: Ours}\nsource: made up\nraters: [{code: self, prefLabel: {en: Self}}]\n"
        f"items: [{{code: view, prefLabel: {{en: View}}, levels: {level}}}]\n",
        encoding="utf-8",
    )
    assert find_sheet().code == "ours"
    assert "score-sheet" not in known()
