"""The facts that may be said of a case: the built-in list, and those that a department adds to it."""

from functools import lru_cache
from pathlib import Path

from annotator.bundled import bundled
from annotator.model.facts import KnownFacts
from annotator.store import vocabularies


def find_facts(*, own: bool = True) -> KnownFacts:
    """The built-in facts and the department's own, which stand in `facts.yaml` in its own folder.

    Unlike a list of roles, one of facts does not take the place of the built-in one: what is counted over many cases
    rests on a few of those. A fact of the department stands in the place of a built-in one of the same code.

    Raises StoreError where a list can't be read, InvalidFile with every fault of it.
    """
    known = _read(bundled("vocab") / vocabularies.FACTS)
    theirs = vocabularies.own_folder() / vocabularies.FACTS
    return known.with_those(_read(theirs)) if own and theirs.is_file() else known


def _read(path: Path) -> KnownFacts:
    text = vocabularies.read_text(path)
    with vocabularies.naming(path):
        return _loaded(text)


@lru_cache(maxsize=2)
def _loaded(text: str) -> KnownFacts:
    """While the same words stand in a file, nothing is read anew."""
    from annotator.formats.facts import facts_yaml  # most starts of the program need none

    return facts_yaml.loads(text)
