"""Terms that cases add to their vocabularies themselves: one more in a case, and those of several in a department's."""

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from annotator.errors import InvalidFile
from annotator.model.case import Case
from annotator.model.collected_terms import Collected, collect, near_name
from annotator.model.edits import new_id
from annotator.model.own_terms import add_term, new_term, own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.plain_text import quoted
from annotator.store.reading import read_case
from annotator.store.session import Session
from annotator.store.vocabularies import add_to, read, write


def add_to_case(session: Session, name: str, under: str = "", facet: str = "") -> str:
    """Add a term to a case's own vocabulary, in one change; returns what was done, and what it is similar to.

    Raises as `new_term` does.
    """
    before = session.case
    term = new_term(before, name, under, facet)
    near = near_name(before.vocabulary, term)
    session.do(lambda case: add_term(case, term))
    return f"{add_term(before, term).says}{f'; similar to {quoted(near)}' if near else ''}"


def collect_into(path: Path, cases: Sequence[Path]) -> Collected:
    """Add the terms of cases to the vocabulary in a file, or make one there of that of the first case.

    A case that is named twice counts once. Raises InvalidFile where no case has any, and what reading and writing
    raise.
    """
    read_ones = [read_case(one).case for one in {one.resolve(): one for one in cases}.values()]
    if not any(map(own_terms, read_ones)):
        raise InvalidFile("Nothing is collected", ["none of these cases has a term of its own"])
    is_new = not path.exists()
    collected = collect(read_ones, _of_first(read_ones[0], path.stem) if is_new else read(path))
    if is_new:
        write(path, collected.vocabulary)
    elif collected.added:
        add_to(path, collected.vocabulary, collected.added)
    return collected


def _of_first(case: Case, name: str) -> Vocabulary:
    """The case's vocabulary without its own terms, as the beginning of another: its concepts stay the same."""
    own = {term.iri for term in own_terms(case)}
    concepts = tuple(concept for concept in case.vocabulary.concepts if concept.iri not in own)
    return replace(case.vocabulary, iri=new_id(), name=name, concepts=concepts)
