"""Random cases in the small vocabulary of `tests.measure.cases`."""

from hypothesis import strategies as st

from annotator.model.case import Case, Tag
from annotator.model.roles import ROLES_OF_1_0
from tests.measure.cases import CONCEPTS, case, tag

LENGTH = 400
"""Ms of a random case: short, so that ranges meet, touch and repeat often."""

FACET_OF = {notation: facet for notation, facet, *_ in CONCEPTS}


@st.composite
def tags(draw: st.DrawFn, notations: tuple[str, ...] = tuple(FACET_OF), beyond: int = 0) -> Tag:
    """A tag with a length, or a moment where it is an event; sometimes running; up to `beyond` ms past the end."""
    notation = draw(st.sampled_from(notations))
    start = draw(st.integers(0, LENGTH - 1 + beyond))
    shortest = 0 if FACET_OF[notation] == "event" else 1
    end = draw(st.one_of(st.none(), st.integers(start + shortest, LENGTH + beyond)))
    performer = draw(st.sampled_from([None, *ROLES_OF_1_0.by_code]))
    return tag(notation, start, end, draw(st.integers(0, 10**9)), performer)


@st.composite
def cases(draw: st.DrawFn, notations: tuple[str, ...] = tuple(FACET_OF), beyond: int = 0) -> Case:
    """A case of up to 25 tags, which may overlap as they like."""
    found = draw(st.lists(tags(notations, beyond), max_size=25, unique_by=lambda one: one.id))
    return case(*found, duration=LENGTH)
