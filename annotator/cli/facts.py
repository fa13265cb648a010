"""`annotator facts`: say what is known of a case, or list it."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from annotator.cli.opened import opened
from annotator.cli.said_facts import meant, names_nobody, said_facts
from annotator.cli.verb import EXISTING, emit, say, verb, warn

if TYPE_CHECKING:
    from annotator.model.case import Case
    from annotator.model.facts import Fact, KnownFacts
    from annotator.store.session import Session


@verb("facts", "annotator facts model-eye.case.jsonld --set gauge=25G --set finding=ERM")
@click.argument("case", type=EXISTING)
@said_facts("--set", "Say a fact, such as gauge=25G; annotator vocab facts lists them. May be repeated.")
@click.option("--clear", multiple=True, metavar="NAME", help="Say nothing of a fact any more. May be repeated.")
@names_nobody
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(
    case: Path, set: tuple[tuple[str, str], ...], clear: tuple[str, ...], names_nobody: bool, form: str
) -> None:
    """Say what is known of a case, or list it: never who it was.

    Without --set and --clear: what is said. Facts are what an operation was: finding, gauge, month, supervision,
    consent and others of a list that a department can extend.
    """
    known, facts = meant(set, names_nobody=names_nobody)
    with opened(case, writable=bool(facts or clear)) as session:
        _change(session, known, facts, clear)
        found = session.case
    if not facts and not clear:
        emit(_json(found) if form == "json" else _table(found, known), None)
    _warn_of(found, known)


def _change(session: "Session", known: "KnownFacts", facts: "Sequence[Fact]", clear: Sequence[str]) -> None:
    """All of it as one change, or nothing."""
    from annotator.model.case import Case
    from annotator.model.edits import Edited, clear_fact, set_fact

    def edit(case: Case) -> Edited:
        says = []
        for name in clear:
            case, done = clear_fact(case, known, known.code_of(name))
            says.append(done)
        for fact in facts:
            case, done = set_fact(case, known, fact)
            says.append(done)
        return Edited(case, "; ".join(says))

    if facts or clear:
        say(session.do(edit).says)


def _table(case: "Case", known: "KnownFacts") -> str:
    from annotator.publish.report.table import aligned

    rows = [(fact.name, known.called(fact.name), known.told(fact)) for fact in known.in_order(case.all_facts)]
    return aligned(("fact", "label", "said"), rows)


def _json(case: "Case") -> str:
    from annotator.formats import json_text

    return json_text.dumps({fact.name: fact.value for fact in case.all_facts})


def _warn_of(case: "Case", known: "KnownFacts") -> None:
    from annotator.model.facts import lacking
    from annotator.workflow.before_export import cautions_of

    for name, need in lacking(known, case.all_facts):
        warn(f"{known.called(name)} says little without {known.called(need)} ({need})")
    warn(*cautions_of(case, known))
