"""Terms of a case's own, added while it was tagged because its vocabulary lacked them."""

from collections import Counter
from collections.abc import Iterable

from msgspec.structs import replace

from annotator.errors import InvalidEdit
from annotator.model.case import Case
from annotator.model.edits import Edited
from annotator.model.vocabulary import Concept, Vocabulary
from annotator.model.words.forms import LONGEST, MOST_WORDS, words_of, written
from annotator.model.words.rules import NEGATIONS
from annotator.plain_text import plain, quoted


def own_terms(case: Case) -> tuple[Concept, ...]:
    """The concepts that the case itself has added to its vocabulary."""
    return tuple(concept for concept in case.vocabulary.concepts if concept.iri.startswith(_own_iri(case, "")))


def new_term(case: Case, name: str, under: str = "", facet: str = "") -> Concept:
    """A concept for the case's own vocabulary, called `name`, under another one, or else anywhere in a facet.

    It is of the facet that others under that one are of, unless another is said. Raises InvalidEdit for no name, one
    that means something already, or where neither is said; UnknownName and AmbiguousName for `under` and `facet`.
    """
    name = plain(name, LONGEST + 1)
    words = [word for word in words_of(name) if word.isalnum()]
    if not can_name(name):
        raise InvalidEdit(
            f"A term is called by words that name something, up to {MOST_WORDS} of them and {LONGEST} characters"
        )
    known, _ = case.vocabulary.may_mean(name)
    if known:
        raise InvalidEdit(f"{quoted(name)} is known already: it means {quoted(known[0].label())}")
    above = _above(case.vocabulary, under, facet)
    facet = case.vocabulary.facet(facet or _facet_under(case.vocabulary, above)).name
    _check_place(case.vocabulary, facet, above)
    notation = free_notation("-".join(words), case.vocabulary)
    return Concept(
        iri=_own_iri(case, notation),
        notation=notation,
        facet=facet,
        pref_label={"en": f"{name[0].upper()}{name[1:]}" if name.split()[0].islower() else name},
        broader=above.notation if above else None,
    )


def can_name(words: str) -> bool:
    """Whether a term can be called so: not by what says nothing, and not by what only denies."""
    forms = written(plain(words, LONGEST)).forms
    return len(words) <= LONGEST and any(form.isalnum() and form not in NEGATIONS for form in forms)


def add_term(case: Case, term: Concept) -> Edited:
    """Put a new concept into the case's vocabulary, after the others that stand under the same one."""
    vocabulary = with_terms(case.vocabulary, [term])
    above = vocabulary.by_notation.get(term.broader or "")
    where = above.label() if above else vocabulary.facet(term.facet).label.get("en", term.facet)
    return Edited(replace(case, vocabulary=vocabulary), f"{quoted(term.label())} added under {where}")


def with_terms(vocabulary: Vocabulary, terms: Iterable[Concept]) -> Vocabulary:
    """A vocabulary with more concepts, each after the last one beside which it stands."""
    concepts = list(vocabulary.concepts)
    for term in terms:
        beside = [
            at
            for at, one in enumerate(concepts)
            if (term.broader in (one.broader, one.notation) if term.broader else one.facet == term.facet)
        ]
        concepts.insert(beside[-1] + 1 if beside else len(concepts), term)
    return replace(vocabulary, concepts=tuple(concepts))


def extends(larger: Vocabulary, smaller: Vocabulary) -> bool:
    """Whether a vocabulary is another with concepts added, and nothing else is different."""
    if replace(larger, concepts=()) != replace(smaller, concepts=()):
        return False
    kept = [concept for concept in larger.concepts if concept.iri in smaller.by_iri]
    return kept == list(smaller.concepts)


def with_own_terms(case: Case, vocabulary: Vocabulary) -> Vocabulary:
    """Another vocabulary with those of the case's own terms that it has no concept for."""
    lacking = [term for term in own_terms(case) if not counterparts(term, vocabulary)]
    known = vocabulary.by_notation
    return with_terms(
        vocabulary,
        [
            replace(
                term,
                broader=term.broader if term.broader in known else None,
                notation=free_notation(term.notation, vocabulary),
            )
            for term in lacking
            if any(facet.name == term.facet for facet in vocabulary.facets)
        ],
    )


def counterparts(term: Concept, vocabulary: Vocabulary) -> tuple[Concept, ...]:
    """The concepts of the same facet that have replaced a term, or that any name of it means for sure."""
    replacing = [one for one in vocabulary.concepts if term.notation in one.replaces and one.facet == term.facet]
    meant = [one for name in term.names() for one in vocabulary.may_mean(name, term.facet)[0]]
    return tuple({one.iri: one for one in (*replacing, *meant)}.values())


def _own_iri(case: Case, notation: str) -> str:
    return f"{case.id}#term-{notation}"


def _above(vocabulary: Vocabulary, under: str, facet: str) -> Concept | None:
    if under:
        return vocabulary.match(under)
    if not facet:
        raise InvalidEdit("Say what the new term stands under: a phase, or another concept")
    return None


def _facet_under(vocabulary: Vocabulary, above: Concept | None) -> str:
    """The facet of what stands under a concept already, else that of steps under a phase, else its own."""
    if above is None:
        return ""
    under = Counter(one.facet for one in vocabulary.concepts if one.broader == above.notation)
    if under:
        return under.most_common(1)[0][0]
    has_steps = above.facet == "phase" and any(facet.name == "step" for facet in vocabulary.facets)
    return "step" if has_steps else above.facet


def _check_place(vocabulary: Vocabulary, facet: str, above: Concept | None) -> None:
    """Raises InvalidEdit for a step without a phase, and for what would count for a concept of another kind."""
    has_phases = any(one.facet == "phase" for one in vocabulary.concepts)
    if above is None:
        if facet == "step" and has_phases:
            raise InvalidEdit("A step stands under a phase or another step; say which")
        return
    beside = {one.facet for one in vocabulary.concepts if one.broader == above.notation}
    if facet not in {above.facet, *beside} and above.facet != "phase":
        called = quoted(above.label())
        raise InvalidEdit(f"{called} is of the category {above.facet}: nothing of the category {facet} stands under it")


def free_notation(notation: str, vocabulary: Vocabulary) -> str:
    """The notation, with a number where a concept has it already."""
    taken = vocabulary.by_notation
    numbered = (f"{notation}-{number}" for number in range(2, len(taken) + 3))
    return notation if notation not in taken else next(one for one in numbered if one not in taken)
