"""Carry a case to another vocabulary, in one change that can be undone."""

from annotator.model.case import Case
from annotator.model.edits import Edit, Edited, replace_vocabulary
from annotator.model.own_terms import with_own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry
from annotator.store.roles import find_roles
from annotator.store.session import Session


def carrying(case: Case, vocabulary: Vocabulary) -> tuple[Edit, tuple[str, ...]]:
    """The edit that gives the case the vocabulary and its tags the concepts there, and what had to be decided for it.

    Terms that the case has added itself stay, where the vocabulary has none for them. The case also gets the roles of
    a new one; the edit raises what `find_roles` raises.
    """
    whole = with_own_terms(case, vocabulary)

    def edit(now: Case) -> Edited:
        return replace_vocabulary(now, whole, carry(now, whole).tags, find_roles())

    return edit, carry(case, whole).notes


def carry_case(session: Session, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Give the case another vocabulary; returns what had to be decided on the way.

    Raises what `find_roles` and `Session.do` raise.
    """
    edit, notes = carrying(session.case, vocabulary)
    session.do(edit)
    return notes
