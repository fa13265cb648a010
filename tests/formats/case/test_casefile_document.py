"""`docs/case-file.md` says what the program does: its example is a case file of this version, its reader reads it."""

import json
import re
import subprocess
import sys
from pathlib import Path

from annotator.formats.case import casefile
from annotator.formats.case.jsonld_context import OWN
from annotator.formats.case.upgrades import UPGRADES, VERSION
from tests.formats.example_case import CASE, REVISION

DOCUMENT = (Path(__file__).parents[3] / "docs" / "case-file.md").read_text("utf-8")


def block(kind: str) -> str:
    """The one block of a kind."""
    (found,) = re.findall(rf"^```{kind}(?: \S+)?\n(.*?)^```$", DOCUMENT, re.MULTILINE | re.DOTALL)
    return str(found)


def test_the_example_is_what_this_version_writes() -> None:
    assert block("json").encode() == casefile.dumps(CASE, REVISION)


def test_the_reader_of_a_few_lines_reads_it(tmp_path: Path) -> None:
    (tmp_path / "reader.py").write_text(block("python"), encoding="utf-8")
    (tmp_path / "case.jsonld").write_text(block("json"), encoding="utf-8")
    command = [sys.executable, "reader.py", "case.jsonld"]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (run.stdout, run.stderr) == (block("text"), "")


def test_the_reader_and_the_program_agree() -> None:
    printed = [line.split() for line in block("text").splitlines()]
    assert printed == [[str(tag.start), str(tag.end), tag.concept] for tag in CASE.tags]


def test_every_key_and_version_is_explained() -> None:
    document = json.loads(casefile.dumps(CASE, REVISION))
    explained = set(re.findall(r"`(@?\w+)`", DOCUMENT))
    ours = OWN.keys() - {"Concept", "ConceptScheme", "Collection", "Kind"}
    of_skos = {
        "prefLabel",
        "altLabel",
        "definition",
        "scopeNote",
        "usuallyAfter",
        "replaces",
        "version",
        "title",
        "key",
    }
    assert ours - of_skos - {"concepts"} <= explained
    assert (document.keys() - {"type"}) | document["recordings"][0].keys() - {"type"} <= explained
    assert {key for tag in document["first"]["items"] for key in tag} - {"type", "motivation"} <= explained
    for version in range(1, VERSION + 1):
        assert f"\n| {version} | " in DOCUMENT
    assert len(UPGRADES) == VERSION - 1
