"""A list of facts as YAML, as a department writes its own."""

from annotator.formats.facts.form import WHAT, from_plain
from annotator.formats.vocabulary.yaml_text import line_of, plain_of
from annotator.model.facts import KnownFacts


def loads(text: str) -> KnownFacts:
    """The facts that a YAML text lists. Raises InvalidFile with every fault and its line."""
    plain, lines = plain_of(text, WHAT)
    return from_plain(plain, line_of(lines))
