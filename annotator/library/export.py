"""All tags and durations of a library as tables for statisticians; neither titles, notes, names of files nor dates."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from annotator.errors import AnnotatorError, StoreError
from annotator.formats.tables import tidy
from annotator.formats.tables.tidy import Cell, Column, Tidy
from annotator.library import names
from annotator.library.library import Library
from annotator.measure.durations import altered_of, summarise
from annotator.model.case import Case, Tag
from annotator.model.place import print_place
from annotator.model.timecode import clock
from annotator.progress import Progress, silent
from annotator.store.facts import find_facts
from annotator.store.reading import read_case
from annotator.store.ways_out import Kind, WayOut, check, head_of
from annotator.workflow.before_export import cautions_of

_CASE: Final = Column("case", "text", "", "id of the case, the same in all tables and never a name")
_TERM: Final = (
    Column("category", "text", "", "category of the concept; empty where the case's vocabulary lacks it"),
    Column("notation", "text", "", "short name of the concept; its IRI where the vocabulary lacks it"),
    Column("label", "text", "", "its label"),
)
_TAG: Final = (
    _CASE,
    Column("tag", "text", "", "id of the tag"),
    *_TERM,
    Column("start_ms", "whole number", "ms", "start on the case's clock"),
    Column("end_ms", "whole number", "ms", "end, the first time that is not in it; empty while it runs"),
    Column("duration_ms", "whole number", "ms", "end less start; 0 for a moment; empty while it runs"),
    Column("start", "text", "", "start as ISO 8601, HH:MM:SS.mmm from the start of the case"),
    Column("end", "text", "", "end likewise"),
    Column("performer", "text", "", "code of the role that did it"),
    Column("place", "text", "", "place on the retina"),
    Column("certainty", "text", "", "certain, probable or uncertain"),
    Column("confirmed", "yes or no", "", "whether a person stands behind it"),
    Column("strength", "text", "", "strength of a material"),
)
_DURATION: Final = (
    _CASE,
    *_TERM,
    Column("occurrences", "whole number", "", "uninterrupted stretches; what is narrower counts too"),
    Column("timed", "whole number", "", "those that have a length; the others are moments"),
    Column("total_ms", "whole number", "ms", "net time: no millisecond counts twice"),
    Column("elapsed_ms", "whole number", "ms", "from the first start to the last end; empty where tags may overlap"),
    Column("first_start_ms", "whole number", "ms", "start of the first"),
    Column("share", "number", "", "net time as a share of the whole case, from 0 to 1"),
    Column("operating_share", "number", "", "share of the operating time, from 0 to 1; empty where that is not known"),
)
_OF_CASES: Final = (
    _CASE,
    Column("duration_ms", "whole number", "ms", "length of the whole case"),
    Column("tags", "whole number", "", "how many it has"),
    Column("vocabulary", "text", "", "name of its vocabulary"),
    Column("version", "text", "", "version of that"),
    Column("kind", "text", "", "kind of operation"),
    Column("altered", "text", "", "in which ways its recordings do not run as the operation did"),
)


class Exported(NamedTuple):
    """The files that were written, and a sentence on each case that was left out or is to be thought of."""

    written: tuple[Path, ...]
    notes: tuple[str, ...]


def export(library: Library, out: Path, replace: bool = False, progress: Progress = silent) -> Exported:
    """Write the tags to `out`, a .csv or .parquet file, and beside it the durations, the cases and the dictionary.

    Raises StoreError where a file may not be written or has another ending, AnnotatorError where pyarrow is missing.
    """
    parquet = out.suffix.lower() == ".parquet"
    if not parquet and out.suffix.lower() != ".csv":
        raise StoreError(f"{out} can't be written: name a file that ends in .csv or .parquet")
    ways = [WayOut(path, PARQUET if parquet else TABLE, replace=replace) for path in _paths(out)]
    check(ways)
    cases, notes = _cases(library, progress)
    tables = [_tags(cases), _durations(cases), _of_cases(cases)]
    made = [(tidy.to_parquet if parquet else tidy.to_csv)(table) for table in (*tables, tidy.dictionary(tables))]
    for way, data in zip(ways, made, strict=True):
        way.write(data)
    return Exported(tuple(way.path for way in ways), tuple(notes))


def _paths(out: Path) -> list[Path]:
    beside = (out.with_name(f"{out.stem}-{name}{out.suffix}") for name in ("durations", "cases", "dictionary"))
    return [out, *beside]


def _cases(library: Library, progress: Progress) -> tuple[list[Case], list[str]]:
    refused = names.without_consent(library)
    known = find_facts()
    cases: list[Case] = []
    notes: list[str] = []
    for done, entry in enumerate(library.cases.values()):
        progress(done, len(library.cases))
        if entry.number in refused:
            notes.append(f"{entry.name} is left out: consent is withdrawn or not given")
            continue
        try:
            case = read_case(library.folder / entry.name).case
        except AnnotatorError as error:
            notes.append(f"{entry.name} is left out: {str(error).splitlines()[0]}")
            continue
        cases.append(case)
        notes += [f"{entry.name}: {says}" for says in cautions_of(case, known)]
    return cases, notes


def _tags(cases: Sequence[Case]) -> Tidy:
    return Tidy("tags", _TAG, [_tag(case, tag) for case in cases for tag in case.tags])


def _tag(case: Case, tag: Tag) -> Sequence[Cell]:
    concept = case.concept_of(tag)
    end = tag.end
    return (
        case.id,
        tag.id,
        *((concept.facet, concept.notation, concept.label()) if concept else ("", tag.concept, "")),
        tag.start,
        end,
        None if end is None else end - tag.start,
        clock(tag.start),
        "" if end is None else clock(end),
        tag.performer or "",
        print_place(tag.place),
        str(tag.certainty),
        tag.confirmed,
        tag.strength,
    )


def _durations(cases: Sequence[Case]) -> Tidy:
    return Tidy("durations", _DURATION, [row for case in cases for row in _rows(case)])


def _rows(case: Case) -> Iterator[Sequence[Cell]]:
    for facet in case.vocabulary.facets:
        for row in summarise(case, facet.name).rows:
            yield (
                case.id,
                facet.name,
                row.notation,
                row.label,
                row.visits,
                row.timed,
                row.total,
                row.elapsed,
                row.first_start,
                row.share,
                row.operating_share,
            )


def _of_cases(cases: Sequence[Case]) -> Tidy:
    """Behind the columns that every case fills, one for each fact that any case says."""
    facts = find_facts()
    said = facts.in_order({fact.name: fact for case in cases for fact in case.all_facts}.values())
    columns = [Column(f"fact_{fact.name.replace('-', '_')}", "text", "", facts.called(fact.name)) for fact in said]
    rows = [(*_of_case(case), *(case.fact(fact.name) for fact in said)) for case in cases]
    return Tidy("cases", (*_OF_CASES, *columns), rows)


def _of_case(case: Case) -> Sequence[Cell]:
    vocabulary = case.vocabulary
    altered = ", ".join(altered_of(case))
    return case.id, case.duration, len(case.tags), vocabulary.name, vocabulary.version, case.kind, altered


def _is_own(path: Path) -> bool:
    """By the columns; that of the cases has more behind them."""
    first = head_of(path).partition(b"\n")[0] + b","
    heads = (",".join(column.name for column in columns) for columns in (_TAG, _DURATION, _OF_CASES, tidy.DICTIONARY))
    return any(first.startswith(f"{head},".encode()) for head in heads)


def _is_parquet(path: Path) -> bool:
    return head_of(path).startswith(b"PAR1")


TABLE: Final = Kind("a table", (".csv",), lambda path: b"\0" not in head_of(path), _is_own)
PARQUET: Final = Kind("a Parquet file", (".parquet",), _is_parquet, lambda _path: False)
