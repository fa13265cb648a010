"""Check a vocabulary by name or file: what it should not say, and what of it our form has no place for."""

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from annotator.errors import InvalidVocabulary
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_rules import check
from annotator.store.vocabularies import locate, naming, read, read_text

if TYPE_CHECKING:
    from annotator.formats.vocabulary.skos import Examined


class Checked(NamedTuple):
    """A vocabulary, where it could be read as one, with a sentence for each finding and for each thing left out.

    `more` is how many findings there are beside those that have one.
    """

    path: Path
    vocabulary: Vocabulary | None
    findings: tuple[str, ...]
    left_out: tuple[str, ...]
    more: int = 0


def check_vocabulary(name_or_path: str) -> Checked:
    """Everything found in a vocabulary; in Turtle also what breaks the integrity conditions of SKOS.

    Raises UnknownName, StoreError, or InvalidFile for a file that is not in the format its ending says. A file that is,
    but holds no sound vocabulary, is checked: its faults are the findings.
    """
    path = locate(name_or_path)
    try:
        if not _is_turtle(path):
            vocabulary = read(path)
            return Checked(path, vocabulary, _sentences(vocabulary), ())
        examined = _examined(path)
    except InvalidVocabulary as error:
        return Checked(path, None, error.faults, (), error.more)
    broken = [f"{violation.condition}: {violation.says}" for violation in examined.violations]
    # A condition that the graph breaks is told once, of the graph.
    told = {violation.condition for violation in examined.violations}
    return Checked(path, examined.vocabulary, (*broken, *_sentences(examined.vocabulary, told)), examined.left_out)


def read_vocabulary(name_or_path: str) -> tuple[Vocabulary, tuple[str, ...]]:
    """A vocabulary, and what the file says beyond it. Raises as `store.vocabularies.find` does."""
    path = locate(name_or_path)
    if not _is_turtle(path):
        return read(path), ()
    examined = _examined(path)
    return examined.vocabulary, examined.left_out


def _is_turtle(path: Path) -> bool:
    return path.suffix.lower() == ".ttl"


def _examined(path: Path) -> "Examined":
    from annotator.formats.vocabulary import skos

    text = read_text(path)
    with naming(path):
        return skos.examine(text)


def _sentences(vocabulary: Vocabulary, told: Collection[str] = ()) -> tuple[str, ...]:
    found = [finding for finding in check(vocabulary) if finding.kind not in told]
    return tuple(f"{finding.notation or vocabulary.name}: {finding.says} ({finding.kind})" for finding in found)
