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
    from annotator.model.vocabulary_change import TermChange


@click.group("vocab", epilog="Example:  annotator vocab list vitreoretinal")
def command() -> None:
    """List, check, convert and compare vocabularies, change that of a case, and add terms that are missing.

    Name a vocabulary, or give the path of a file that ends in .yaml, .ttl (SKOS in Turtle) or .csv.
    """


@verb("list", "annotator vocab list vitreoretinal --language de")
@click.argument("name", required=False, metavar="[NAME|FILE]")
@click.option("--language", default="en", show_default=True, help="Language of the labels.")
def list_(name: str | None, language: str) -> None:
    """List vocabularies, or the concepts of one.

    Without a name: all vocabularies. With a name: its concepts with their keys, in the order of the operation.
    """
    from annotator.publish.report.table import aligned
    from annotator.store.vocabularies import find, own_folder

    if name is None:
        emit(aligned(("name", "version", "concepts", "title", "where"), _catalogue(language)), None)
        say(f"your own vocabularies go into {own_folder()}")
    else:
        emit(aligned(("key", "label", "notation", "category"), _concepts(find(name), language)), None)


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


@verb("roles", "annotator vocab roles --language de")
@click.option("--language", default="en", show_default=True, help="Language of the labels.")
def roles(language: str) -> None:
    """List the roles that new cases get: who may have done what a tag says.

    A file roles.yaml in your own folder of vocabularies takes the place of the built-in list.
    """
    from annotator.publish.report.table import aligned
    from annotator.store.roles import find_roles
    from annotator.store.vocabularies import ROLES, own_folder

    rows = [
        (role.code, role.called(language), ", ".join(role.synonyms.get(language, ()))) for role in find_roles().listed
    ]
    emit(aligned(("code", "label", "also"), rows), None)
    say(f"your own list is {own_folder() / ROLES}")


@verb("facts", "annotator vocab facts finding")
@click.argument("name", required=False, metavar="[FACT]")
@click.option("--language", default="en", show_default=True, help="Language of the labels.")
def facts(name: str | None, language: str) -> None:
    """List the facts that may be said of a case, or the values of one.

    A file facts.yaml in your own folder of vocabularies adds to the built-in list.
    """
    from annotator.model.vocabulary import label_in
    from annotator.publish.report.table import aligned
    from annotator.store.facts import find_facts
    from annotator.store.vocabularies import FACTS, own_folder

    known = find_facts()
    if name is None:
        rows = [(fact.code, fact.called(language), fact.asks()) for fact in known.listed]
        emit(aligned(("fact", "label", "what may be said"), rows), None)
    else:
        fact = known.named(name)
        values = [(one.code, one.called(language), label_in(one.anchor, language)) for one in fact.values]
        emit(aligned(("value", "label", "meaning"), values) if values else fact.asks(), None)
    say(f"your own list is {own_folder() / FACTS}")


@verb("check", "annotator vocab check ours.yaml")
@click.argument("name", metavar="NAME|FILE")
@click.pass_context
def check(ctx: click.Context, name: str) -> None:
    """List the faults of a vocabulary.

    Keys, notations or names used twice, concepts that contain each other in a circle, names that point nowhere, and
    broken integrity conditions of SKOS.

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
@click.option("--out", type=EXISTING, required=True, metavar="FILE", help="File that ends in .yaml, .ttl or .csv.")
@replacing("a vocabulary with other content")
def convert(name: str, out: Path, replace: bool) -> None:
    """Write a vocabulary in another format, given by the ending of the name."""
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
    """List the differences between OLD and NEW.

    What was added, removed, renamed, merged, split, moved, re-keyed or reworded.
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


def _json(old: "Vocabulary", new: "Vocabulary", changes: "tuple[TermChange, ...]") -> str:
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
    """Change a case's vocabulary.

    To another one, or to another version. Its tags get the matching concepts; the case as it was stays beside it.
    It also gets the roles that a new case would get, and keeps those that its tags name.
    No tag is lost: if a concept is gone, the tag keeps the old term; if it was split, the tag becomes unconfirmed.
    """
    from annotator.store.vocabularies import find
    from annotator.workflow.carry_case import carry_case

    vocabulary = find(new)
    with opened(case, writable=True) as session:
        notes = carry_case(session, vocabulary)
        count = len(session.case.tags)
    warn(*told(notes))
    say(f"{case} now uses {vocabulary.name} {vocabulary.version}, with {count} tag{'s' * (count != 1)}")


@verb("add", 'annotator vocab add model-eye.case.jsonld "macular rotation" --under membrane-work')
@click.argument("case", type=EXISTING)
@click.argument("name")
@click.option("--under", default="", metavar="NAME", help="The phase or other concept that it stands under.")
@click.option(
    "--facet", default="", metavar="CATEGORY", help="Its category.  [default: that of what else stands under the same]"
)
def add(case: Path, name: str, under: str, facet: str) -> None:
    """Add a term that a case's vocabulary lacks.

    It becomes part of the vocabulary of this case alone: tag with it at once. `annotator vocab collect` adds such
    terms of several cases to the vocabulary of a department.
    """
    from annotator.workflow.own_terms import add_to_case

    with opened(case, writable=True) as session:
        done = add_to_case(session, name, under, facet)
    say(f"{done}, in {case}")


@verb("collect", "annotator vocab collect *.case.jsonld --into department.yaml")
@click.argument("cases", type=EXISTING, nargs=-1, required=True, metavar="CASE...")
@click.option("--into", type=EXISTING, required=True, metavar="FILE", help="The vocabulary of the department.")
def collect(cases: tuple[Path, ...], into: Path) -> None:
    """Add the terms that cases have added themselves to a department's vocabulary.

    Terms that mean the same become one, and what the vocabulary has already is not added again. If there is no FILE
    yet, it is made from the vocabulary of the first case. `annotator vocab carry` then takes each case to it.

    Exit status 0: added, 1: the vocabulary has all of them already, 2: nothing could be added.
    """
    from annotator.workflow.own_terms import collect_into

    collected = collect_into(into, cases)
    for line in collected.says:
        emit(plain(line), None)
    count = len(collected.added)
    say(f"{count} term{'s' * (count != 1)} added to {into}")
    click.get_current_context().exit(0 if count else 1)


for _verb in (list_, roles, facts, check, convert, compare, carry, add, collect):
    command.add_command(_verb)
