"""Ask a library how often a thing is done, how long it takes and when it ends."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final, Literal, NamedTuple

from annotator.library import names, search
from annotator.library.library import CaseEntry, Library
from annotator.library.search import Question
from annotator.measure.over_cases.answer import Answer, Done, answer
from annotator.measure.over_cases.relations import Relation, shared_parts
from annotator.measure.over_cases.series import CASE_NUMBER, MONTH
from annotator.measure.stays import Stay, stays
from annotator.model.vocabulary import Concept

OutOf = Literal["all", "possible"]

DENOMINATORS: Final[Mapping[OutOf, str]] = {
    "all": "all cases",
    "possible": "the cases in which it could arise",
}
"""Which cases are counted, and how that is said."""


class Told(NamedTuple):
    """The answer, what was asked, and a sentence on each thing that a reader of the numbers has to know."""

    concept: Concept
    out_of: OutOf
    answer: Answer
    notes: tuple[str, ...]


def ask(library: Library, question: Question, out_of: OutOf = "all") -> Told:
    """The answer to a question that names a concept, of all cases or those in which it could arise.

    Raises as `search.find` does.
    """
    meant = names.meant(library, question.what)
    among = names.among(library, question.among)
    refused = names.without_consent(library) & among
    cases = [case for case in _in_time(library) if case.number in among - refused]
    possible = _possible(library, question, meant, cases)
    counted = cases if out_of == "all" else possible
    visits = _visits(library, question)
    done = [Done(case.name, visits.get(case.number, ())) for case in counted]
    consent = f"{_cases(len(refused))} left out: consent is withdrawn or not given" if refused else ""
    altered = _altered(case for case in counted if visits.get(case.number))
    notes = (altered, consent, *_notes(meant, cases, possible, out_of), search.left_out(library, question))
    return Told(meant.concept, out_of, answer(done, len(counted)), tuple(filter(None, notes)))


def _in_time(library: Library) -> Sequence[CaseEntry]:
    """The cases by their case number, else by month, else by name; those of which nothing is known last."""
    rows = library.index.execute("SELECT of_case, name, value FROM facts WHERE name IN (?, ?)", (CASE_NUMBER, MONTH))
    said = {(case, name): value for case, name, value in rows}

    def order(case: CaseEntry) -> tuple[bool, int, bool, str, str]:
        number, month = (said.get((case.number, name), "") for name in (CASE_NUMBER, MONTH))
        return not number.isdecimal(), int(number) if number.isdecimal() else 0, not month, month, case.name

    return sorted(library.cases.values(), key=order)


def _visits(library: Library, question: Question) -> Mapping[int, Sequence[Stay]]:
    """By case the occurrences; of what was asked for during another thing, only what lies in that."""
    during = [
        search.occurrences(library, names.meant(library, name))
        for relation, name in question.relations
        if relation is Relation.DURING
    ]
    ranges: dict[int, list[Stay]] = {}
    for one in search.find(library, question):
        parts = [one.time]
        for there in during:
            parts = [shared for part in parts for shared in shared_parts(part, there.get(one.case.number, ()))]
        ranges.setdefault(one.case.number, []).extend(parts)
    return {case: stays(some) for case, some in ranges.items()}


def _possible(
    library: Library, question: Question, meant: names.Meant, cases: Sequence[CaseEntry]
) -> Sequence[CaseEntry]:
    """The cases that know the concept, are tagged, and have what it is asked for within, during or after."""
    there = [search.occurrences(library, names.meant(library, name)) for _, name in question.relations]
    tagged = {number for (number,) in library.index.execute("SELECT DISTINCT of_case FROM tags")}
    eyes = names.places(question.place) if question.place else None
    return [
        case
        for case in cases
        if case.vocabulary in meant.vocabularies
        and case.number in tagged
        and all(case.number in one for one in there)
        and (eyes is None or case.eye in eyes)
    ]


def _altered(cases: Iterable[CaseEntry]) -> str:
    """That the times of some are not the operation's; nothing where all are."""
    number = sum(case.is_altered for case in cases)
    if not number:
        return ""
    film = f"{'its' if number == 1 else 'their'} times are those of the film, not of the operation"
    return f"{_cases(number)} with a recording that was cut, slowed down or sped up: {film}"


def _notes(
    meant: names.Meant,
    cases: Sequence[CaseEntry],
    possible: Sequence[CaseEntry],
    out_of: OutOf,
) -> tuple[str, ...]:
    without = sum(case.vocabulary not in meant.vocabularies for case in cases)
    label = meant.concept.label()
    use = "uses" if without == 1 else "use"
    found = [f"{_cases(without)} {use} a vocabulary that does not have {label}"] if without else []
    others = len(cases) - len(possible)
    if others and out_of == "all":
        found.append(f"it could not arise in {_cases(others)} of the {len(cases):,}, which count all the same")
    elif others:
        found.append(f"{_cases(others)} of the {len(cases):,} left out: it could not arise there")
    return tuple(found)


def _cases(number: int) -> str:
    return "1 case" if number == 1 else f"{number:,} cases"
