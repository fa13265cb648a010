"""A vocabulary as YAML: the plain form, written by hand or by program.

Only what a vocabulary needs of YAML is read: no anchors, no aliases, no tags. Everything but `true` and `false` is
text, so that the language `no` and the version 1.10 stay what they are.
"""

import re
from collections.abc import Callable, Sequence
from functools import partial
from textwrap import indent
from typing import Any

import yaml
from msgspec.structs import replace

from annotator.errors import Gathered, InvalidFile
from annotator.formats.faults import Path, short
from annotator.formats.vocabulary.form import WHAT, from_plain, to_plain
from annotator.model.vocabulary import Concept, Vocabulary

LARGEST = 2_000_000
_DEEPEST = 12


class _Loader(yaml.CSafeLoader):
    """Reads plain words as text, but for `true`, `false` and nothing at all."""


_Loader.yaml_implicit_resolvers = {}
_Loader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"(?:true|false)\Z"), ["t", "f"])
_Loader.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"(?:~|null)?\Z"), ["", "~", "n"])


def loads(text: str) -> Vocabulary:
    """The vocabulary that a YAML text says. Raises InvalidFile or InvalidVocabulary with every fault and its line."""
    if len(text) > LARGEST:
        raise InvalidFile(WHAT, [f"{len(text)} characters are more than the {LARGEST} that are read"])
    try:
        _refuse_what_is_not_needed(text)
        root = yaml.compose(text, _Loader)
    except (yaml.YAMLError, UnicodeError) as error:
        raise InvalidFile("This is not readable YAML", [_said(error)]) from error
    lines: dict[Path, int] = {}
    faults = Gathered()
    plain = _plain(root, (), lines, faults)
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
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


def _refuse_what_is_not_needed(text: str) -> None:
    """Anchors make small files huge, tags make objects, depth exhausts the stack: none is needed here."""
    depth = 0
    for event in yaml.parse(text, _Loader):
        line = event.start_mark.line + 1 if event.start_mark else 1
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            raise InvalidFile(WHAT, [f"line {line}: anchors (&) and aliases (*) are not read; write the text out"])
        if getattr(event, "tag", None) not in (None, "!"):
            raise InvalidFile(WHAT, [f"line {line}: tags (!) are not read; write plain text"])
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > _DEEPEST:
            raise InvalidFile(WHAT, [f"line {line}: lists and mappings are nested more than {_DEEPEST} deep"])


def _plain(node: yaml.Node | None, path: Path, lines: dict[Path, int], faults: Gathered) -> Any:
    """A node as dicts, lists, texts, booleans and None; notes the line of each, and keys said twice."""
    if node is None:
        return None
    lines[path] = node.start_mark.line + 1
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item, (*path, index), lines, faults) for index, item in enumerate(node.value)]
    if isinstance(node, yaml.MappingNode):
        found: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key, line = str(key_node.value), key_node.start_mark.line + 1
            if not isinstance(key_node, yaml.ScalarNode):
                faults.note(partial("line {}: a name before the colon is a plain word".format, line))
            elif key in found:
                faults.note(partial("line {}: “{}” is there twice".format, line, short(key)))
            else:
                found[key] = _plain(value_node, (*path, key), lines, faults)
                lines[*path, key] = line
        return found
    if node.tag == "tag:yaml.org,2002:bool":
        return bool(node.value == "true")
    return None if node.tag == "tag:yaml.org,2002:null" else node.value


def _place_of(lines: dict[Path, int], plain: Any) -> Callable[[Path], str]:
    """Words the place of a fault: its line, or that of what holds it, and the concept where there is one."""

    def place(path: Path) -> str:
        known = next((path[:length] for length in range(len(path), -1, -1) if path[:length] in lines), ())
        what = ""
        if path[:1] == ("concepts",) and len(path) > 1:
            concept = plain["concepts"][path[1]]
            notation = concept.get("notation") if isinstance(concept, dict) else None
            what = f", {short(notation)}" if isinstance(notation, str) else ""
        return f"line {lines.get(known, 1)}{what}"

    return place


def _said(error: Exception) -> str:
    """What the YAML library says of a text that is none, in one line."""
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        return f"line {error.problem_mark.line + 1}: {error.problem or error.context}"
    return " ".join(str(error).split())
