"""`annotator vocab`: list, check, convert and compare vocabularies, and carry a case from one to another."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from annotator.cli.opened import opened
from annotator.cli.verb import EXISTING, counted, emit, replacing, say, verb, warn
from annotator.errors import told
from annotator.plain_text import plain

if TYPE_CHECKING:
    from annotator.model.vocabulary import Vocabulary
    from annotator.model.vocabulary_change import Change


@click.group("vocab", epilog="Example:  annotator vocab list vitreoretinal")
def command() -> None:
    """List, check, convert and compare vocabularies, and carry a case from one to another.

    A vocabulary is given by its name, or by the path of a file ending in .yaml, .ttl (SKOS in Turtle) or .csv.
    """


@verb("list", "annotator vocab list vitreoretinal --language de")
@click.argument("name", required=False, metavar="[NAME|FILE]")
@click.option("--language", default="en", show_default=True, help="Of the labels.")
def list_(name: str | None, language: str) -> None:
    """List vocabularies, or the concepts of one.

    Without a name: those that answer to one. With a name: its concepts with their keys, in the order of the operation.
    """
    from annotator.publish.report.table import aligned
    from annotator.store.vocabularies import find, own_folder

    if name is None:
        emit(aligned(("name", "version", "concepts", "title", "where"), _catalogue(language)), None)
        say(f"your own vocabularies are looked for in {own_folder()}")
    else:
        emit(aligned(("key", "label", "notation", "facet"), _concepts(find(name), language)), None)


def _catalogue(language: str) -> list[tuple[str, ...]]:
    from annotator.errors import AnnotatorError
    from annotator.model.vocabulary import label_in
    from annotator.store.vocabularies import catalogue, read

    rows: list[tuple[str, ...]] = []
    for entry in catalogue():
        where = str(entry.path) if entry.own else "built in"
        try:
            vocabulary = read(entry.path)
        except AnnotatorError as error:
            warn(*str(error).splitlines())
            rows.append((entry.name, "", "", "can't be read", where))
            continue
        count = str(len(vocabulary.concepts))
        rows.append((entry.name, vocabulary.version, count, label_in(vocabulary.title, language), where))
    return rows


def _concepts(vocabulary: "Vocabulary", language: str) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for concept in vocabulary.concepts:
        indent = "  " * len(vocabulary.ancestors(concept))
        rows.append((concept.key, indent + concept.label(language), concept.notation, concept.facet))
    return rows


@verb("check", "annotator vocab check ours.yaml")
@click.argument("name", metavar="NAME|FILE")
@click.pass_context
def check(ctx: click.Context, name: str) -> None:
    """Look for faults in a vocabulary.

    Such as keys, notations or names used twice, concepts under each other in a ring, names that point nowhere, and
    what breaks the integrity conditions of SKOS.

    Exit status 0: nothing found, 1: findings, 2: the file could not be read.
    """
    from annotator.workflow.check_vocabulary import check_vocabulary

    checked = check_vocabulary(name)
    for finding in checked.findings:
        emit(plain(finding), None)
    if checked.more:
        emit(f"and {checked.more:,} more", None)
    warn(*told([f"not read: {note}" for note in checked.left_out]))
    count = len(checked.findings) + checked.more
    say(counted(count, str(checked.path)))
    ctx.exit(1 if count else 0)


@verb("convert", "annotator vocab convert vitreoretinal --out vitreoretinal.ttl")
@click.argument("name", metavar="NAME|FILE")
@click.option("--out", type=EXISTING, required=True, metavar="FILE", help="Ending in .yaml, .ttl or .csv.")
@replacing("a vocabulary that says something else")
def convert(name: str, out: Path, replace: bool) -> None:
    """Write a vocabulary in another format, by the ending of the name."""
    from annotator.store.vocabularies import write
    from annotator.workflow.check_vocabulary import read_vocabulary

    vocabulary, left_out = read_vocabulary(name)
    warn(*told([f"left out: {note}" for note in left_out]))
    write(out, vocabulary, replace=replace)
    say(f"wrote {out}")


@verb("compare", "annotator vocab compare vitreoretinal ours.yaml")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def compare(old: str, new: str, form: str) -> None:
    """Say what is different in NEW.

    That is what was added, removed, renamed, merged, split, moved, re-keyed or reworded.
    """
    from annotator.model import vocabulary_change
    from annotator.publish.report.table import aligned
    from annotator.store.vocabularies import find

    before, after = find(old), find(new)
    changes = vocabulary_change.compare(before, after)
    if form == "json":
        emit(_json(before, after, changes), None)
    elif changes:
        emit(aligned(("change", "what"), [(change.kind, change.says) for change in changes]), None)
    said = "1 change" if len(changes) == 1 else f"{len(changes) or 'no'} changes"
    say(f"{said} from {before.name} {before.version} to {after.name} {after.version}")


def _json(old: "Vocabulary", new: "Vocabulary", changes: "tuple[Change, ...]") -> str:
    from annotator.formats import json_text

    both = {
        when: {"iri": vocabulary.iri, "name": vocabulary.name, "version": vocabulary.version}
        for when, vocabulary in (("old", old), ("new", new))
    }
    return json_text.dumps({**both, "changes": changes})


@verb("carry", "annotator vocab carry model-eye.case.jsonld ours.yaml")
@click.argument("case", type=EXISTING)
@click.argument("new", metavar="NAME|FILE")
def carry(case: Path, new: str) -> None:
    """Give a case another vocabulary.

    Or another version of its own; its tags get the concepts there. The case as it was is kept beside it.
    Nothing is dropped: a tag whose concept is gone keeps the old term, one whose concept was split is left unconfirmed.
    """
    from annotator.store.vocabularies import find
    from annotator.workflow.carry_case import carry_case

    vocabulary = find(new)
    with opened(case, writable=True) as session:
        notes = carry_case(session, vocabulary)
        count = len(session.case.tags)
    warn(*told(notes))
    say(f"{count} tag{'s' * (count != 1)} of {case} carried to {vocabulary.name} {vocabulary.version}")


for _verb in (list_, check, convert, compare, carry):
    command.add_command(_verb)
