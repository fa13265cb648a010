"""`annotator library`: find, answer and export over a folder tree of cases."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from annotator.cli.verb import EXISTING, emit, progress, replacing, say, verb, warn
from annotator.errors import StoreError, listed, told

if TYPE_CHECKING:
    from annotator.library.ask import OutOf, Told
    from annotator.library.library import Library
    from annotator.library.search import Found, Question

Function = TypeVar("Function", bound=Callable[..., Any])


@click.group("library", invoke_without_command=True, epilog="Example:  annotator library cases ask delamination")
@click.argument("folder", type=EXISTING)
@click.pass_context
def command(ctx: click.Context, folder: Path) -> None:
    """Find tags in all cases of a folder and the folders below it, and answer questions over them.

    The cases are only read. What is known of them is kept in an index in the cache folder, which may be deleted at any
    time. A case that can't be read is named and left out.
    """
    if ctx.invoked_subcommand is None:
        raise click.UsageError(
            f"say what to do with {folder}: {listed(list(command.commands))}, such as: ask delamination"
        )
    ctx.obj = folder


@contextmanager
def _library(folder: Path) -> "Iterator[Library]":
    from annotator.library.library import opened

    with ExitStack() as kept:
        with progress("reading cases") as report:
            library = kept.enter_context(opened(folder, report))
        warn(*told([f"left out: {says}" for says in library.left_out]))
        if not library.cases:
            raise StoreError(
                f"There is no case in {folder} or below it that can be read; name the folder of your cases"
            )
        yield library


def _asked(*, is_relation_after: bool) -> Callable[[Function], Function]:
    """The options that narrow what is looked for, in one wording for all verbs."""
    options = [
        click.option("--within", multiple=True, metavar="CONCEPT", help="Wholly inside an occurrence of this one."),
        click.option("--during", multiple=True, metavar="CONCEPT", help="At the same time as this one."),
        *(
            [click.option("--after", multiple=True, metavar="CONCEPT", help="Begun after this one first ended.")]
            if is_relation_after
            else []
        ),
        click.option("--performer", default="", metavar="ROLE", help="Done by this role."),
        click.option("--place", default="", help="At this place on the retina, such as 4-6 mid-periphery or macula."),
        click.option(
            "--among",
            multiple=True,
            metavar="FACT=VALUE",
            help="Only in cases of which this is true; of one fact any of its values, of several facts all.",
        ),
    ]

    def decorate(function: Function) -> Function:
        for option in reversed(options):
            function = option(function)
        return function

    return decorate


def _question(what: str, words: str = "", **asked: Any) -> "Question":
    """Raises UsageError for a fact without a value."""
    from annotator.library.search import Question
    from annotator.measure.over_cases.relations import Relation

    relations = [(relation, name) for relation in Relation for name in asked.get(relation.value, ())]
    facts = [tuple(part.strip() for part in fact.partition("=")[::2]) for fact in asked["among"]]
    if any(not all(fact) for fact in facts):
        raise click.UsageError("--among needs a fact and its value, such as --among eye=left")
    among = [(name, value) for name, value in facts]
    return Question(what, relations, asked["performer"], asked["place"], words, among)


@verb("find", 'annotator library cases find bleeding --during "membrane work"')
@click.argument("concept", required=False, default="")
@_asked(is_relation_after=True)
@click.option("--words", default="", help="With these words in its note.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
@click.pass_context
def find(ctx: click.Context, /, concept: str, words: str, as_json: bool, **asked: Any) -> None:
    """List the tags of a step or any other concept, in all cases: which case, when, what.

    What is narrower than the concept counts too. Options that are given together must all be true of a tag.

    Exit status 0: found, 1: nothing found, 2: the question or the folder is wrong.
    """
    from annotator.formats import json_text
    from annotator.library import search
    from annotator.publish.report.table import aligned

    question = _question(concept, words, **asked)
    if not any(question):
        raise click.UsageError("say what to look for: a concept, or one of the options")
    with _library(ctx.obj) as library:
        found = search.find(library, question)
        listed = list(_plain_hits(library, found))
        cases = len(library.cases)
        warn(*filter(None, [search.left_out(library, question)]))
    if as_json:
        emit(json_text.dumps(listed), None)
    elif listed:
        emit(aligned(("case", "start", "end", "what", "performer", "note"), map(_cells, listed)), None)
    say(
        f"{len(listed):,} tag{'s' * (len(listed) != 1)} in {len({one.case.number for one in found})} of {cases:,} cases"
    )
    ctx.exit(0 if listed else 1)


def _plain_hits(library: "Library", found: "Sequence[Found]") -> Iterator[dict[str, Any]]:
    """Each tag with the keys that the documentation names."""
    from annotator.library import search

    notes, terms = search.notes(library, found), search.terms(library)
    for one in found:
        vocabulary, iri = terms[one.term]
        concept = library.vocabularies[vocabulary].concept(iri)
        start, end = one.time
        yield {
            "case": one.case.name,
            "title": one.case.title,
            "start_ms": start,
            "end_ms": end,
            "facet": concept.facet if concept else None,
            "notation": concept.notation if concept else iri,
            "label": concept.label() if concept else iri,
            "performer": one.performer,
            "note": notes.get(one.number, ""),
        }


def _cells(hit: Mapping[str, Any]) -> tuple[str, ...]:
    from annotator.model.timecode import clock

    return (
        hit["case"],
        clock(hit["start_ms"]),
        clock(hit["end_ms"]),
        hit["label"],
        hit["performer"] or "",
        hit["note"],
    )


@verb("ask", 'annotator library cases ask delamination --within "membrane work" --among eye=left')
@click.argument("concept")
@_asked(is_relation_after=False)
@click.option(
    "--out-of",
    type=click.Choice(["all", "possible"]),
    default="all",
    show_default=True,
    help="Of all cases, or of those in which it could arise.",
)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
@click.pass_context
def ask(ctx: click.Context, /, concept: str, out_of: "OutOf", as_json: bool, **asked: Any) -> None:
    """Say in how many cases a step or any other concept was tagged, how long it took, and when.

    With 95 % intervals from five cases on; docs/measures.md says what each number means. It could arise in the cases
    whose vocabulary has it, that are tagged, and that have what --within and --during name.
    """
    from annotator.formats import json_text
    from annotator.library.ask import ask as answer_of

    with _library(ctx.obj) as library:
        found = answer_of(library, _question(concept, **asked), out_of)
        titles = {case.name: case.title for case in library.cases.values()}
    emit(json_text.dumps(_plain_answer(found, titles)) if as_json else _said(found), None)
    if not as_json:
        warn(*found.notes)


def _plain_answer(found: "Told", titles: Mapping[str, str]) -> dict[str, Any]:
    """The answer with the keys that the documentation names; what can't be given is null."""
    from annotator.library.ask import DENOMINATORS
    from annotator.measure.over_cases.times import SEED

    said = found.answer
    moments = [
        {"case": one.case, "title": titles[one.case], "start_ms": one.start, "end_ms": one.end} for one in said.moments
    ]
    return {
        "notation": found.concept.notation,
        "label": found.concept.label(),
        "cases": said.share.cases,
        "of": said.share.of,
        "out_of": DENOMINATORS[found.out_of],
        "share": said.share.share,
        "interval": said.share.interval,
        "times": said.times.times,
        "median_ms": said.times.median,
        "quartiles_ms": said.times.quartiles,
        "median_interval_ms": said.times.median_interval,
        "seed": SEED,
        "last": moments[-1] if moments else None,
        "median_last_end_ms": said.last_end,
        "moments": moments,
        "notes": found.notes,
    }


def _said(found: "Told") -> str:
    """The answer for reading."""
    from annotator.library.ask import DENOMINATORS
    from annotator.measure.over_cases.caution import CAUTION
    from annotator.model.timecode import clock
    from annotator.publish.report.answer_lines import answer_lines
    from annotator.publish.report.table import aligned

    said = found.answer
    lines = answer_lines(found.concept.label(), DENOMINATORS[found.out_of], said)
    rows = [(one.case, clock(one.start), clock(one.end)) for one in said.moments]
    table = ["", aligned(("case", "start", "end"), rows).rstrip("\n")] if rows else []
    return "\n".join([*lines, *table, "", CAUTION]) + "\n"


@verb("copies", "annotator library cases copies cases/12.case.jsonld")
@click.argument("case", type=EXISTING, required=False)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
@click.pass_context
def copies(ctx: click.Context, /, case: Path | None, as_json: bool) -> None:
    """List what was published of all cases, or of one, from this computer: where each file or folder was written.

    If a consent is withdrawn, these are the copies to take back. What was moved or passed on since is not followed.
    """
    from annotator.formats import json_text
    from annotator.library.copies import copies_in
    from annotator.publish.report.table import aligned

    with _library(ctx.obj) as library:
        found = copies_in(library, case)
    listed = [(one.case.name, one.copy.at, one.copy.is_there, one.consent, one.copy.place) for one in found.listed]
    if as_json:
        keys = ("case", "published", "is_there", "consent", "place")
        emit(json_text.dumps([dict(zip(keys, row, strict=True)) for row in listed]), None)
    elif listed:
        cells = [(case, at, "yes" if there else "no", said, place) for case, at, there, said, place in listed]
        emit(aligned(("case", "published", "still there", "consent", "where"), cells), None)
    warn(*found.notes)
    say(f"{len(listed):,} {'copy' if len(listed) == 1 else 'copies'} on the list of what was published")


@verb("export", "annotator library cases export --out tags.csv")
@click.option("--out", type=EXISTING, required=True, metavar="FILE", help="A .csv or .parquet file for the tags.")
@replacing("tables of the same names that are not from this program")
@click.pass_context
def export(ctx: click.Context, /, out: Path, replace: bool) -> None:
    """Write all tags as a table for statisticians, one row a tag; beside it the durations, the cases and their facts,
    and a dictionary that says what each column means.

    Titles, notes, names of files and dates are left out. Parquet needs the library pyarrow.
    """
    from annotator.library.export import export as written

    with _library(ctx.obj) as library, progress("reading cases") as report:
        done = written(library, out, replace, report)
    warn(*told(done.notes))
    say(*(f"wrote {path}" for path in done.written))


for _verb in (find, ask, export, copies):
    command.add_command(_verb)
