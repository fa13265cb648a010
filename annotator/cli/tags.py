"""`annotator tags`: add tags to a case from a file, or list those it has."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from annotator.cli.opened import opened
from annotator.cli.roles import role_terms, terms_of
from annotator.cli.verb import EXISTING, emit, progress, say, verb, warn
from annotator.errors import told
from annotator.plain_text import quoted

if TYPE_CHECKING:
    from annotator.model.case import Case, Tag


@verb("tags", "annotator tags model-eye.case.jsonld --add steps.csv")
@click.argument("case", type=EXISTING)
@click.option(
    "--add",
    "source",
    type=EXISTING,
    metavar="FILE",
    help="Add the tags of a table (.csv), the chapters of a caption file (.vtt, .srt) or those inside a recording.",
)
@click.option("--keep-going", is_flag=True, help="Add the good rows even if others have faults.")
@click.option(
    "--format", "form", type=click.Choice(["table", "csv", "json"]), help="How to list them.  [default: table]"
)
@role_terms
@click.pass_context
def command(
    ctx: click.Context, case: Path, source: Path | None, keep_going: bool, form: str | None, role_terms: Path | None
) -> None:
    """Add tags to a case, or list the tags it has.

    A table has the columns start,end,step and optionally performer,place,certainty,note,strength,confirmed,words.
    Times are H:MM:SS.mmm, MM:SS or seconds; a step is a notation, a label or a synonym of the case's vocabulary, in any
    form, spelling and order of its words. What is only similar to one is added as proposed, with its words. A term that
    is missing is added with `annotator vocab add`.

    Exit status 0: added or listed, 1: the case has all of them already, 2: nothing could be added.
    """
    if keep_going and source is None:
        raise click.UsageError("--keep-going goes with --add")
    if role_terms and form not in ("csv", "json"):
        raise click.UsageError("--role-terms goes with --format csv or json")
    status = 0 if source is None or _add(case, source, keep_going) else 1
    if form is not None or source is None:
        _list(case, form or "table", role_terms)
    ctx.exit(status)


def _add(path: Path, source: Path, keep_going: bool) -> int:
    """How many tags were added."""
    from annotator.workflow.add_tags import add_tags

    with opened(path, writable=True) as session, progress("reading frames") as report:
        added = add_tags(session, source, keep_going, report)
    warn(*added.notes, *(f"left out: {fault}" for fault in told(added.faults, added.more)))
    say(f"{len(added.tags)} tag{'s' * (len(added.tags) != 1)} added to {path}")
    return len(added.tags)


def _list(path: Path, form: str, role_terms: Path | None) -> None:
    from annotator.formats.tables import tags_csv
    from annotator.publish.report.table import aligned
    from annotator.workflow.tag_rows import rows_of

    with opened(path) as session:
        case = session.case
    terms = terms_of(role_terms, case)
    if form == "csv":
        emit(tags_csv.dumps(rows_of(case), terms=terms), None, for_programs=True)
    elif form == "json":
        emit(_json(case, terms), None)
    else:
        rows = zip(rows_of(case), case.tags, strict=True)
        listed = [(row.start, row.end, row.step, row.performer, row.place, _said(tag)) for row, tag in rows]
        emit(aligned(("start", "end", "step", "performer", "place", "note"), listed), None)


def _said(tag: "Tag") -> str:
    """The note, and before it the strength, and what the step was written as where that was no name of it."""
    written = f"written as {quoted(tag.words)}" if tag.words else ""
    return "; ".join(filter(None, (tag.strength, written, tag.note)))


def _json(case: "Case", terms: Mapping[str, str] | None) -> str:
    from annotator.formats import json_text
    from annotator.formats.tables.tags_csv import TERM

    listed = [_plain(case, index) for index in range(len(case.tags))]
    if terms is not None:
        listed = [one | {TERM: terms.get(one["performer"])} for one in listed]
    return json_text.dumps(listed)


def _plain(case: "Case", index: int) -> dict[str, Any]:
    """One tag with the keys that the documentation names; `end_ms` is null while it is running."""
    from annotator.model.place import print_place

    tag = case.tags[index]
    concept = case.concept_of(tag)
    return {
        "id": tag.id,
        "start_ms": tag.start,
        "end_ms": tag.end,
        "facet": concept.facet if concept else None,
        "notation": concept.notation if concept else tag.concept,
        "label": concept.label() if concept else tag.concept,
        "performer": tag.performer,
        "place": print_place(tag.place),
        "certainty": tag.certainty,
        "note": tag.note,
        "confirmed": tag.confirmed,
        "words": tag.words,
        "strength": tag.strength,
    }
