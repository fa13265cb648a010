"""A vocabulary as a table for a spreadsheet, and back.

One row a thing: the vocabulary itself, its kinds of operation, its facets, its concepts in the order of the operation;
the column `kind` says which. A text by language has a column for each, such as `prefLabel@en`. Several values in one
cell are separated by semicolons; a semicolon, a backslash, or a blank at either end of a value has a backslash before
it.
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

from annotator.errors import Gathered, InvalidFile, listed, nearest
from annotator.formats.faults import Path, short
from annotator.formats.tables.delimited import Table
from annotator.formats.tables.escape_formula import escape_formula, unescape_formula
from annotator.formats.vocabulary.flat_rules import flat_path, flattened, nested
from annotator.formats.vocabulary.form import MOST_CONCEPTS, WHAT, from_plain, to_plain
from annotator.model.vocabulary import Vocabulary

LARGEST = 2_000_000
"""Characters that are read."""

_MOST_LINES = 20 * MOST_CONCEPTS
"""A concept is a row, and a row may hold texts of several lines."""

_NAMES = ("notation", "facet", "broader", "iri")
_LISTS = ("usuallyAfter", "replaces", "kinds", "usualPlace", "needsBefore", "neverWith", "expectedWith")
_TEXTS = ("prefLabel", "altLabel", "definition", "scopeNote", "beginsWhen", "endsWhen")
_FLAGS = ("exclusive", "moments", "inside", "anyPhase", "changesPerformer")
_SAYING = {"yes": True, "true": True, "no": False, "false": False}
_KINDS = ("vocabulary", "operation", "facet", "concept")
_FIRST = (
    *("kind", "notation", "facet", "broader", "key", "exclusive", "moments", "inside", "usuallyAfter", "replaces"),
    *("version", "iri", "kinds", "anyPhase", "operatingTime", "usualTimeLeast", "usualTimeMost", "usualPlace"),
    *("needsBefore", "neverWith", "expectedWith", "changesPerformer"),
)

# What the plain form calls the columns of the rows that are no concepts.
_OF_VOCABULARY = {"notation": "name", "prefLabel": "title"}
_OF_FACET = {"notation": "name", "prefLabel": "label"}
_KIND_OF = {"kinds": "operation", "facets": "facet", "concepts": "concept"}

# One character, with the backslash before it where there is one.
_TOKEN = re.compile(r"\\.|.", re.DOTALL)


def dumps(vocabulary: Vocabulary) -> str:
    """A vocabulary as a table. A cell that a spreadsheet would run as a formula is disarmed."""
    plain = to_plain(vocabulary)
    facets, concepts, kinds = plain.pop("facets"), plain.pop("concepts"), plain.pop("kinds", ())
    rows = [_row("vocabulary", plain, _OF_VOCABULARY)]
    rows += [_row("operation", kind, _OF_FACET) for kind in kinds]
    rows += [_row("facet", facet, _OF_FACET) for facet in facets]
    rows += [_row("concept", flattened(concept), {}) for concept in concepts]
    used = dict.fromkeys(column for row in rows for column in row if "@" in column)
    languages = dict.fromkeys(column.partition("@")[2] for column in used)
    by_language = (f"{text}@{language}" for language in languages for text in _TEXTS)
    columns = [*_FIRST, *(column for column in by_language if column in used)]
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(columns)
    writer.writerows([escape_formula(row.get(column, "")) for column in columns] for row in rows)
    return out.getvalue()


def loads(text: str) -> Vocabulary:
    """The vocabulary of a table, its cells separated by commas, semicolons or tabs, as the first line has it.

    Raises InvalidFile or InvalidVocabulary with every fault and its line.
    """
    if len(text) > LARGEST:
        raise InvalidFile(WHAT, [f"{len(text)} characters are more than the {LARGEST} that are read"])
    faults = Gathered()
    things: dict[str, list[dict[str, Any]]] = {kind: [] for kind in _KINDS}
    lines: dict[str, list[int]] = {kind: [] for kind in _KINDS}
    for line, row in _rows(text):
        kind = row.pop("kind", "").strip().lower() or "concept"
        if kind not in _KINDS:
            faults.note(partial("line {}: a row is of the kind {}, not “{}”".format, line, listed(_KINDS), short(kind)))
            continue
        things[kind].append(_thing(kind, row))
        lines[kind].append(line)
    if len(things["vocabulary"]) != 1:
        faults.note(lambda: f"one row is of the kind “vocabulary”, not {len(things['vocabulary'])}")
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)
    plain = {**things["vocabulary"][0], "facets": things["facet"], "concepts": things["concept"]}
    plain["kinds"] = things["operation"]

    def place_of(path: Path) -> str:
        path = flat_path(path)
        kind = _KIND_OF.get(str(path[0]) if path else "", "vocabulary")
        index = path[1] if kind != "vocabulary" and len(path) > 1 else 0
        where = lines[kind][index] if isinstance(index, int) and lines[kind] else 1
        column = "@".join(str(step) for step in path[2:4])
        return f"line {where}, {column}" if column else f"line {where}"

    return from_plain(plain, place_of)


def _row(kind: str, plain: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, str]:
    """A thing of the plain form as cells by column."""
    columns = {name: column for column, name in names.items()}
    row = {"kind": kind}
    for name, value in plain.items():
        column = columns.get(name, name)
        if isinstance(value, dict):
            row |= {f"{column}@{language}": _cell(text) for language, text in value.items()}
        else:
            row[column] = _cell(value)
    return row


def _cell(value: str | bool | list[str]) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    return value if isinstance(value, str) else "; ".join(map(_escaped, value))


def _thing(kind: str, row: Mapping[str, str]) -> dict[str, Any]:
    """Cells by column as a thing of the plain form; what a cell says wrongly is left for `from_plain` to refuse."""
    names = {"vocabulary": _OF_VOCABULARY, "operation": _OF_FACET, "facet": _OF_FACET}.get(kind, {})
    thing: dict[str, Any] = {}
    for column, cell in row.items():
        said, _, language = column.partition("@")
        name = names.get(said, said)
        if said in _LISTS:
            thing[name] = list(_split(cell))
        elif said in _FLAGS:
            thing[name] = _SAYING.get(cell.strip().lower(), cell)
        elif language:
            thing.setdefault(name, {})[language] = list(_split(cell)) if said == "altLabel" else cell
        else:
            thing[name] = cell.strip() if said in _NAMES else cell
    return nested(thing) if kind == "concept" else thing


def _rows(text: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Each row's line and its cells by column, without the empty ones. Raises InvalidFile for an odd first line."""
    table = Table("This is not a readable table", text)
    columns = table.columns
    _check_columns(columns)
    kind = columns.index("kind") if "kind" in columns else len(columns)

    def is_row(cells: list[str]) -> bool:
        return kind < len(cells) and cells[kind].strip().lower() in _KINDS

    for line, cells in table.rows(is_row):
        if line > _MOST_LINES:
            raise InvalidFile(WHAT, [f"line {line}: only {_MOST_LINES:,} lines are read; leave some out"])
        row = {column: unescape_formula(cell) for column, cell in zip(columns, cells, strict=False) if cell.strip()}
        if row:
            yield line, row


def _check_columns(columns: list[str]) -> None:
    known = [*_FIRST, *_TEXTS]
    faults = Gathered()
    for column, times in Counter(filter(None, columns)).items():
        said, _, language = column.partition("@")
        if said not in known or bool(language) != (said in _TEXTS):
            faults.note(partial(_unknown_column, column, said, known))
        elif times > 1:
            faults.note(partial("the column “{}” is there more than once".format, short(column)))
    if "notation" not in columns:
        faults.note(lambda: "the first line must name the columns; one of them is “notation”")
    if faults.said:
        raise InvalidFile(WHAT, faults.said, faults.more)


def _unknown_column(column: str, said: str, known: list[str]) -> str:
    wanted = f"{said}@en" if said in _TEXTS else listed(nearest(said, known) or ("prefLabel@en",))
    return f"there is no column “{short(column)}”; did you mean {wanted}?"


def _escaped(value: str) -> str:
    characters = [f"\\{character}" if character in "\\;" else character for character in value]
    for end in (0, -1):
        if characters[end].isspace():
            characters[end] = f"\\{characters[end]}"
    return "".join(characters)


def _split(cell: str) -> Iterator[str]:
    """The values of a cell, without the blanks around them that have no backslash."""
    value: list[str] = []
    for piece in [*_TOKEN.findall(cell), ";"]:
        if piece != ";":
            value.append(piece)
            continue
        kept = [index for index, one in enumerate(value) if not one.isspace()]
        if kept:
            yield "".join(one[-1] for one in value[kept[0] : kept[-1] + 1])
        value = []
