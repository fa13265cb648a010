"""The terms of our own that stand beside SKOS in Turtle. They are names; nothing is ever looked up under them.

facets        of a scheme: its facets (skos:Collection), a list in their order
order         of a scheme: the skos:OrderedCollection of its concepts in the order of the operation
exclusive     of a facet: true where it holds one tag at a time
moments       of a facet: true where a tag may have no length
key           of a concept: the character that begins it in the window
usuallyAfter  of a concept: a concept that commonly comes before it
inside        of a concept: true where the picture shows the inside of the body only
beginsWhen    of a concept: what is seen when it begins, by language
endsWhen      of a concept: what is seen when it ends, by language
anyPhase      of a concept: true where it counts for the phase in which it lies
operatingTime  of a concept: “begins” or “ends” where operating time runs from it or up to it
kinds         of a scheme: its kinds of operation (terms:Kind), a list in their order
forKinds      of a concept: a kind of operation that shows it first

Rules, each of a concept; a check asks where a case differs:

usualTimeLeast, usualTimeMost  how long one occurrence takes, as M:SS or H:MM:SS
usualPlace        where on the retina it is usually done, in words
needsBefore       a concept of which one comes earlier
neverWith         a concept that is not there at the same time
expectedWith      a concept without which it is not missed
changesPerformer  true where somebody else goes on after it
"""

from rdflib import Namespace, URIRef
from rdflib.namespace import DCTERMS, OWL, RDF, SKOS
from rdflib.term import Node

TERMS = Namespace("https://surgical-step-annotator.example/terms#")

# What IRIs that are not whole are resolved against, to be told from whole ones (RFC 2606 keeps `.invalid` free).
BASE = "http://not-a-whole-iri.invalid/"

_PREFIXES = {str(SKOS): "skos:", str(DCTERMS): "dcterms:", str(RDF): "rdf:", str(OWL): "owl:", str(TERMS): "terms:"}


def name_of(node: Node) -> str:
    """What to call a node in a sentence: a known prefix and the rest, else the IRI or text as it stands."""
    if not isinstance(node, URIRef):
        return str(node)
    known = next((namespace for namespace in _PREFIXES if node.startswith(namespace)), None)
    return f"<{node}>" if known is None else f"{_PREFIXES[known]}{node.removeprefix(known)}"
