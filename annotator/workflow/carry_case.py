"""Carry a case to another vocabulary, in one change that can be undone."""

from annotator.model.edits import replace_vocabulary
from annotator.model.own_terms import with_own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry
from annotator.store.roles import find_roles
from annotator.store.session import Session


def carry_case(session: Session, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Give the case the vocabulary and its tags the concepts there; returns what had to be decided on the way.

    Terms that the case has added itself stay, where the vocabulary has none for them. It also gets the roles of
    a new case. Raises what `find_roles` and `Session.do` raise.
    """
    vocabulary = with_own_terms(session.case, vocabulary)
    carried = carry(session.case, vocabulary)
    roles = find_roles()
    session.do(lambda case: replace_vocabulary(case, vocabulary, carried.tags, roles))
    return carried.notes
