"""A second person tags the same recordings without knowing what the first has tagged."""

from collections.abc import Iterable

from msgspec.structs import replace

from annotator.model.case import UNTITLED, Case
from annotator.model.edits import Edited
from annotator.model.facts import CONSENT_FACTS, Fact
from annotator.model.own_terms import own_terms
from annotator.model.recording import Recording


def blind_copy(case: Case, case_id: str) -> Case:
    """A case of the same recordings and vocabulary under another id, and nothing that tells of the first one's tags.

    The eye, the kind of operation and the roles stay, which both need to tag alike, and what was consented to; other
    facts do not, nor terms that the first person has added while tagging.
    """
    added = {term.iri for term in own_terms(case)}
    terms = tuple(concept for concept in case.vocabulary.concepts if concept.iri not in added)
    return Case(
        id=case_id,
        title=UNTITLED,
        vocabulary=replace(case.vocabulary, concepts=terms),
        recordings=tuple(map(_bare, case.recordings)),
        eye=case.eye,
        kind=case.kind,
        roles=case.roles,
        blind_to=case.id,
        facts=tuple(Fact(fact.name, fact.value) for fact in case.facts if fact.name in CONSENT_FACTS),
    )


def say_done(case: Case) -> Edited:
    """Say that whoever tags the case has tagged all."""
    return Edited(replace(case, is_done=True), "All is tagged")


def unfinished(cases: Iterable[Case]) -> list[int]:
    """Which of several cases, by their place, have to be said done before anybody may lay them side by side.

    Those that are blind, and those that another is blind to.
    """
    listed = list(cases)
    seen_by = {case.blind_to for case in listed}
    return [place for place, case in enumerate(listed) if (case.blind_to or case.id in seen_by) and not case.is_done]


def _bare(recording: Recording) -> Recording:
    """Without what this version does not know, as that may say anything."""
    return replace(recording, extra={})
