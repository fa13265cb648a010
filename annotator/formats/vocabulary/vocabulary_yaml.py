"""A vocabulary as YAML: the plain form, written by hand or by program."""

import re
from collections.abc import Mapping, Sequence
from textwrap import indent
from typing import Any

import yaml
from msgspec.structs import replace

from annotator.errors import InvalidFile
from annotator.formats.faults import Path, PlaceOf, short
from annotator.formats.vocabulary.form import WHAT, from_plain, to_plain
from annotator.formats.vocabulary.yaml_text import line_of, plain_of
from annotator.model.vocabulary import Concept, Vocabulary


def loads(text: str) -> Vocabulary:
    """The vocabulary that a YAML text says. Raises InvalidFile or InvalidVocabulary with every fault and its line."""
    plain, lines = plain_of(text, WHAT)
    return from_plain(plain, _place_of(lines, plain))


def dumps(vocabulary: Vocabulary) -> str:
    """A vocabulary as YAML, in the order of the operation."""
    return yaml.dump(
        to_plain(vocabulary),
        Dumper=yaml.CSafeDumper,
        sort_keys=False,
        allow_unicode=True,
        width=110,
        default_flow_style=False,
    )


def extended(text: str, vocabulary: Vocabulary, added: Sequence[Concept]) -> str:
    """The YAML of a vocabulary whose last concepts, the added ones, `text` lacks: behind it, so that what is written
    and remarked there stays as it is; wholly anew where the concepts are not its end.
    """
    entries = yaml.dump(
        to_plain(replace(vocabulary, concepts=tuple(added)))["concepts"],
        Dumper=yaml.CSafeDumper,
        sort_keys=False,
        allow_unicode=True,
        width=110,
        default_flow_style=False,
    )
    first = re.search(r"^concepts:[^\n]*\n(?:[ \t]*(?:#[^\n]*)?\n)*( *)- ", text, re.MULTILINE)
    longer = f"{text.rstrip()}\n{indent(entries, first[1] if first else '')}"
    try:
        return longer if loads(longer) == vocabulary else dumps(vocabulary)
    except InvalidFile:
        return dumps(vocabulary)


def _place_of(lines: Mapping[Path, int], plain: Any) -> PlaceOf:
    """Words the place of a fault: its line, and the concept where there is one."""
    line = line_of(lines)

    def place(path: Path) -> str:
        what = ""
        if path[:1] == ("concepts",) and len(path) > 1:
            concept = plain["concepts"][path[1]]
            notation = concept.get("notation") if isinstance(concept, dict) else None
            what = f", {short(notation)}" if isinstance(notation, str) else ""
        return f"{line(path)}{what}"

    return place
