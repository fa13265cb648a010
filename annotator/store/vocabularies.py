"""Where vocabularies are: those that travel with the program, a department's own folder, and files given by path."""

from collections.abc import Hashable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple, Protocol

import platformdirs

from annotator.bundled import bundled
from annotator.errors import InvalidFile, StoreError, UnknownName, listed
from annotator.model.vocabulary import Concept, Vocabulary
from annotator.store.files import read_bounded
from annotator.store.ways_out import Kind, WayOut, head_of, is_text

LARGEST = 4_000_000
"""Bytes that are read of a vocabulary's file; the built-in ones have about 30,000."""

ENDINGS = (".yaml", ".yml", ".ttl", ".csv")

ROLES = "roles.yaml"
"""The list of roles stands beside the vocabularies, and is none."""

FACTS = "facts.yaml"
"""So does the list of facts."""

SHEET = "score-sheet.yaml"
"""And the score sheet."""

_KEPT = 6
"""Vocabularies that are kept once they are read; the start screen asks for all there are each time it is seen."""

_WORDS = {".yaml": (b"facets:",), ".yml": (b"facets:",), ".ttl": (b"skos",), ".csv": (b"notation", b"facet")}
"""What stands in the beginning of a vocabulary in each format."""


class _Format(Hashable, Protocol):
    def loads(self, text: str, /) -> Vocabulary: ...

    def dumps(self, vocabulary: Vocabulary, /) -> str: ...


class Known(NamedTuple):
    """A vocabulary that answers to a name, and whether it is the department's own."""

    name: str
    path: Path
    own: bool


def own_folder() -> Path:
    """Where a department puts vocabularies that answer to a name; it need not exist."""
    return platformdirs.user_data_path("surgical-step-annotator", appauthor=False) / "vocab"


def catalogue() -> tuple[Known, ...]:
    """Every vocabulary that answers to a name, in alphabetical order.

    A file of the own folder stands in place of a built-in vocabulary of that name: who has put it there means it.
    """
    built_in = {path.stem: Known(path.stem, path, own=False) for path in _files(bundled("vocab"))}
    own = {path.stem: Known(path.stem, path, own=True) for path in _files(own_folder())}
    return tuple(sorted((built_in | own).values()))


def known() -> tuple[str, ...]:
    """The names that `find` answers to, in alphabetical order."""
    return tuple(entry.name for entry in catalogue())


def find(name_or_path: str | Path) -> Vocabulary:
    """The vocabulary of a name, or of a file ending in .yaml, .ttl or .csv.

    Raises UnknownName with the nearest names; StoreError where the file can't be read; InvalidFile where it holds
    no sound vocabulary.
    """
    return read(locate(name_or_path))


def locate(name_or_path: str | Path) -> Path:
    """The file that `find` reads. Raises UnknownName for what is neither a known name nor looks like a path."""
    text = str(name_or_path)
    for entry in catalogue():
        if entry.name == text:
            return entry.path
    path = Path(name_or_path)
    if path.suffix.lower() in ENDINGS or path.name != text or _is_there(path):
        return path
    raise UnknownName("vocabulary", text, known())


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # such as a name that is too long
        return False


def read(path: Path) -> Vocabulary:
    """The vocabulary in a file, by the ending of its name. Raises StoreError, or InvalidFile with every fault."""
    form = _format_of(path)
    text = read_text(path)
    with naming(path):
        return _loaded(form, text)


@lru_cache(maxsize=_KEPT)
def _loaded(form: _Format, text: str) -> Vocabulary:
    """While the same words stand in a file, whoever asks again gets the same vocabulary, with what is known of it."""
    return form.loads(text)


def read_text(path: Path) -> str:
    """What stands in a vocabulary's file. Raises StoreError, or InvalidFile for what is no text."""
    try:
        return read_bounded(path, LARGEST).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InvalidFile(f"{path}: this is not UTF-8 text", [f"byte {error.start} can't be read"]) from error


@contextmanager
def naming(path: Path) -> Iterator[None]:
    """Faults found within are told with the file that they stand in."""
    try:
        yield
    except InvalidFile as error:
        raise type(error)(f"{path}: {error.what[0].lower()}{error.what[1:]}", error.faults, error.more) from error


def write(path: Path, vocabulary: Vocabulary, *, replace: bool = False) -> None:
    """Write a vocabulary in the format that the ending of the name says, whole or not at all.

    A file that holds other words, which somebody may have typed, gives way only to `replace`. Raises StoreError.
    """
    _put(path, _format_of(path).dumps(vocabulary), replace=replace)


def _put(path: Path, text: str, *, replace: bool) -> None:
    # Without a mark of its encoding, spreadsheets take a table's umlauts for something else.
    data = text.encode("utf-8-sig" if path.suffix.lower() == ".csv" else "utf-8")
    kind = Kind(
        "a vocabulary", (path.suffix.lower(),), _may_be_a_vocabulary, lambda there: read_bounded(there, LARGEST) == data
    )
    WayOut(path, kind, replace=replace).write(data)


def add_to(path: Path, vocabulary: Vocabulary, added: Sequence[Concept]) -> None:
    """Write a vocabulary in the place of the one in a file that lacks the added concepts, its last ones.

    In YAML all that is written there stays as it is. Raises StoreError.
    """
    if path.suffix.lower() not in (".yaml", ".yml"):
        write(path, vocabulary, replace=True)
        return
    from annotator.formats.vocabulary import vocabulary_yaml

    _put(path, vocabulary_yaml.extended(read_text(path), vocabulary, added), replace=True)


def _may_be_a_vocabulary(path: Path) -> bool:
    """A vocabulary, sound or not: the words are there by which the format of the name calls what it holds."""
    head = head_of(path)
    return is_text(head) and all(word in head for word in _WORDS[path.suffix.lower()])


def _files(folder: Path) -> list[Path]:
    """The vocabularies of a folder, which need not exist; where two endings share a name, YAML comes last and wins."""
    try:
        found = [path for path in folder.iterdir() if path.name not in (ROLES, FACTS, SHEET)] if folder.is_dir() else []
        return sorted((path for path in found if path.suffix.lower() in ENDINGS and path.is_file()), key=_by_ending)
    except OSError as error:
        raise StoreError(f"{folder} can't be searched: {error.strerror or error}") from error


def _by_ending(path: Path) -> tuple[int, str]:
    return -ENDINGS.index(path.suffix.lower()), path.name


def _format_of(path: Path) -> _Format:
    """Loaded when needed: the RDF library alone takes longer to start than the program."""
    match path.suffix.lower():
        case ".yaml" | ".yml":
            from annotator.formats.vocabulary import vocabulary_yaml

            return vocabulary_yaml
        case ".ttl":
            from annotator.formats.vocabulary import skos

            return skos
        case ".csv":
            from annotator.formats.vocabulary import vocabulary_csv

            return vocabulary_csv
    raise StoreError(f"{path}: a vocabulary file ends in {listed(ENDINGS)}")
