"""The long part of looking into a library, done beside the window: what is there, and what a question finds."""

from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from annotator.desktop.tasks.task import Job
from annotator.desktop.widgets.table import Cell, Line, Table, time_cell, word_cell
from annotator.errors import AnnotatorError
from annotator.library import names, search
from annotator.library.ask import DENOMINATORS, ask
from annotator.library.library import CaseEntry, Library, opened
from annotator.library.search import Found, Question
from annotator.model.timecode import Ms
from annotator.progress import Progress
from annotator.publish.report.answer_lines import answer_lines

CASES = ("Title", "Eye", "Length", "Tags", "File")
HITS = ("Case", "What", "Start", "Length", "Performer", "Note")


class Goal(NamedTuple):
    """Where a row leads: a case, and a time in it."""

    case: Path
    at: Ms


class Seen(NamedTuple):
    """What a library has and what was found in it.

    cases, hits    as tables; `at` of a row is its place in `case_goals` or `hit_goals`
    is_asked       whether anything was asked for, so that no hits means that there are none
    answer         what the question is answered with; empty where it names no concept
    fault          why a question can't be answered; then no hits
    left_out       a sentence for each file that could not be read
    concepts       the labels of all concepts, to be offered while one is typed
    performers     the label of each role by its code
    facts          the values that cases have, by the name of the fact
    """

    cases: Table
    case_goals: tuple[Goal, ...]
    hits: Table
    hit_goals: tuple[Goal, ...]
    is_asked: bool
    answer: tuple[str, ...]
    fault: str
    left_out: tuple[str, ...]
    concepts: tuple[str, ...]
    performers: Mapping[str, str]
    facts: Mapping[str, Sequence[str]]


def look(folder: Path, question: Question) -> Job:
    """Task that brings a Seen. The cases are only read."""
    return partial(_seen, folder, question)


def _seen(folder: Path, question: Question, progress: Progress) -> Seen:
    with opened(folder, progress) as library:
        fault = ""
        try:
            hits, hit_goals, answer = _found(library, question)
        except AnnotatorError as error:
            hits, hit_goals, answer, fault = Table(HITS, (), "Note"), (), (), str(error)
        cases, case_goals = _cases(library, question)
        return Seen(
            cases,
            case_goals,
            hits,
            hit_goals,
            _asks(question),
            answer,
            fault,
            tuple(library.left_out),
            _labels(library),
            {role.code: role.called() for roles in library.roles.values() for role in roles.listed},
            library.facts,
        )


def _cases(library: Library, question: Question) -> tuple[Table, tuple[Goal, ...]]:
    """The cases of which the facts are true."""
    counts = dict(library.index.execute("SELECT of_case, count(*) FROM tags GROUP BY of_case").fetchall())
    wanted = names.among(library, question.among)
    shown = [case for case in library.cases.values() if case.number in wanted]
    lines = (_case_line(case, counts.get(case.number, 0), number) for number, case in enumerate(shown))
    return Table(CASES, tuple(lines), "Title"), tuple(_goal(library, case, 0) for case in shown)


def _case_line(case: CaseEntry, tags: int, number: int) -> Line:
    cells = (
        word_cell(case.title),
        word_cell(case.eye or ""),
        time_cell(case.duration),
        Cell(f"{tags:,}", tags),
        word_cell(case.name),
    )
    return Line(cells, case.name, number)


def _found(library: Library, question: Question) -> tuple[Table, tuple[Goal, ...], tuple[str, ...]]:
    """The tags that were asked for, where each leads, and the answer. Nothing where nothing is asked."""
    if not _asks(question):
        return Table(HITS, (), "Note"), (), ()
    found = search.find(library, question)
    notes, terms = search.notes(library, found), search.terms(library)
    lines = (_hit_line(library, one, notes, terms, number) for number, one in enumerate(found))
    goals = tuple(_goal(library, one.case, one.time[0]) for one in found)
    answer: tuple[str, ...] = ()
    if question.what:
        told = ask(library, question)
        answer = (*answer_lines(told.concept.label(), DENOMINATORS[told.out_of], told.answer), *told.notes)
    return Table(HITS, tuple(lines), "Note"), goals, answer


def _asks(question: Question) -> bool:
    """Whether tags are looked for, and not only cases."""
    return any(question._replace(among=()))


def _hit_line(
    library: Library, one: Found, notes: Mapping[int, str], terms: Mapping[int, tuple[int, str]], number: int
) -> Line:
    vocabulary, iri = terms[one.term]
    concept = library.vocabularies[vocabulary].concept(iri)
    start, end = one.time
    cells = (
        word_cell(one.case.title),
        word_cell(concept.label() if concept else iri),
        time_cell(start),
        time_cell(end - start),
        word_cell(one.performer or ""),
        word_cell(notes.get(one.number, "")),
    )
    return Line(cells, one.case.name, number)


def _labels(library: Library) -> tuple[str, ...]:
    labels = {concept.label() for vocabulary in library.vocabularies.values() for concept in vocabulary.concepts}
    return tuple(sorted(labels, key=str.casefold))


def _goal(library: Library, case: CaseEntry, at: Ms) -> Goal:
    """With the case's path as an open case has it, links resolved."""
    return Goal((library.folder / case.name).resolve(), at)
