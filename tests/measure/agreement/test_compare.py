"""Two cases of one recording, with figures that can be worked out by hand."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from msgspec.structs import replace

from annotator.errors import InvalidEdit, UnknownName
from annotator.measure.agreement.among import among
from annotator.measure.agreement.compare import Agreement, compare
from annotator.measure.agreement.moments import Alone
from annotator.measure.agreement.spans import Piece
from annotator.measure.over_cases.spread import spread
from annotator.model.case import Case
from annotator.model.vocabulary import Concept
from tests.measure.cases import case, tag, vocabulary
from tests.measure.strategies import cases

SURGEON = case(tag("ports", 0, 20_000), tag("core", 20_000, 70_000), tag("removal", 80_000, 100_000))
FELLOW = case(
    tag("ports", 0, 24_000), tag("core", 24_000, 60_000), tag("shave", 60_000, 70_000), tag("removal", 80_000, 100_000)
)


def test_two_people_by_hand() -> None:
    found = compare(SURGEON, FELLOW)
    assert (found.within, found.tagged_time) == ((0, 100_000), 90_000)
    assert found.confusion == (
        ("core", "core", 36_000),
        ("ports", "ports", 20_000),
        ("removal", "removal", 20_000),
        (None, None, 10_000),
        ("core", "shave", 10_000),
        ("core", "ports", 4_000),
    )
    by_chance = 0.2 * 0.24 + 0.5 * 0.36 + 0.2 * 0.2 + 0.1 * 0.1
    assert found.whole.accuracy == pytest.approx(0.86)
    assert found.whole.kappa == pytest.approx((0.86 - by_chance) / (1 - by_chance))
    assert found.tagged.accuracy == pytest.approx(76 / 90)
    assert {name: overlap.iou for name, overlap in found.iou.items()} == pytest.approx(
        {"ports": 20 / 24, "core": 36 / 50, "shave": 0, "removal": 1}
    )
    assert found.edit == 0.75
    assert found.f1 == pytest.approx({10: 6 / 7, 25: 6 / 7, 50: 6 / 7})
    assert found.disagreements == (
        Piece(60_000, 70_000, ("core", "shave")),
        Piece(20_000, 24_000, ("core", "ports")),
    )
    # 20 s is 4 s from 24 s, and so back; 60 s is 10 s from 70 s; 70 and 80 s are the same.
    assert (found.boundaries.one, found.boundaries.other, found.boundaries.matched) == (3, 4, 2)
    assert found.boundaries.within == pytest.approx(4 / 7)
    assert found.boundaries.differences == spread([4_000, 0, 0, 4_000, 10_000, 0, 0])


def test_who_agrees_wholly() -> None:
    found = compare(SURGEON, SURGEON)
    assert (found.whole.accuracy, found.whole.kappa, found.edit, found.f1[50]) == (1, 1, 1, 1)
    assert (found.disagreements, found.boundaries.within) == ((), 1)


@pytest.mark.parametrize(("a", "b"), [(case(), case()), (case(), SURGEON), (SURGEON, case())])
def test_where_somebody_has_tagged_nothing(a: Case, b: Case) -> None:
    found = compare(a, b)
    is_empty = not a.tags and not b.tags
    assert (found.whole.kappa, found.edit, found.f1[10]) == ((None, None, None) if is_empty else (0, 0, 0))
    assert found.whole.accuracy == (1 if is_empty else pytest.approx(0.1))
    assert found.boundaries.differences is None


def test_one_step_all_the_time_tells_nothing_of_chance() -> None:
    whole = case(tag("core", 0, 100_000))
    assert (compare(whole, whole).whole.accuracy, compare(whole, whole).whole.kappa) == (1, None)


def test_tags_that_touch_are_one() -> None:
    parts = case(tag("core", 0, 30_000), tag("core", 30_000, 50_000))
    found = compare(case(tag("core", 0, 50_000)), parts)
    assert (found.edit, found.f1[50], found.whole.accuracy) == (1, 1, 1)


def test_a_step_counts_for_its_phase() -> None:
    found = compare(SURGEON, FELLOW, "phase")
    assert found.confusion[0] == ("vitrectomy", "vitrectomy", 46_000)
    assert found.iou["access"].iou == pytest.approx(20 / 24)


def test_a_category_that_may_overlap_is_compared_by_each_concept() -> None:
    one = case(tag("bimanual", 0, 40_000), tag("lift", 10_000, 20_000))
    other = case(tag("bimanual", 0, 30_000), tag("lift", 10_000, 20_000), tag("cutter", 50_000, 60_000))
    found = compare(one, other, "technique")
    assert (found.is_exclusive, found.whole, found.tagged) == (False, (None, None, None), (None, None, None))
    assert (found.edit, found.confusion) == (None, ())
    assert {name: overlap.iou for name, overlap in found.iou.items()} == {"bimanual": 0.75, "lift": 1, "cutter": 0}
    assert found.f1[50] == pytest.approx(0.8)
    assert found.disagreements == (
        Piece(30_000, 40_000, ("bimanual", None)),
        Piece(50_000, 60_000, (None, "cutter")),
    )


def test_moments_are_matched_with_the_nearest_of_their_kind() -> None:
    one = case(tag("bleeding", 10_000, 10_000), tag("bleeding", 50_000, 50_000), tag("pressure", 70_000, 70_000))
    other = case(tag("bleeding", 8_200, 8_200), tag("bleeding", 10_500, 10_500), tag("pressure", 60_000, 69_000))
    found = compare(one, other, "event").moments
    assert (found.one, found.other, found.matched, found.differences) == (3, 2, 1, spread([500]))
    assert found.alone == (
        Alone(8_200, "bleeding", "b", in_range=False),
        Alone(50_000, "bleeding", "a", in_range=False),
        Alone(70_000, "pressure", "a", in_range=True),
    )


def test_a_trimmed_copy_is_laid_where_it_begins() -> None:
    trimmed = case(tag("ports", 0, 14_000), tag("core", 14_000, 50_000), duration=50_000)
    found = compare(FELLOW, trimmed, offset=10_000)
    assert found.within == (10_000, 60_000)
    assert (found.whole.kappa, found.boundaries.one, found.boundaries.within) == (1, 1, 1)


def test_copies_with_no_time_in_common_are_refused() -> None:
    with pytest.raises(InvalidEdit, match="no time in common"):
        compare(SURGEON, FELLOW, offset=100_000)


def test_an_unknown_category_is_refused() -> None:
    with pytest.raises(UnknownName, match="stepp"):
        compare(SURGEON, FELLOW, "stepp")


def test_another_version_of_the_vocabulary_is_carried_over_whoever_has_it() -> None:
    """The newer one renames a step and has one more, of which the older knows nothing."""
    terms, old = vocabulary(), vocabulary().by_notation["core"]
    new = replace(old, iri=f"{terms.iri}#core-2", notation="core-2", replaces=("core",))
    further = Concept(f"{terms.iri}#peel", "peel", "step", {"en": "Peeling"}, broader="vitrectomy")
    concepts = (*(new if one == old else one for one in terms.concepts), further)
    newer = replace(terms, version="2", concepts=concepts)
    tags = [replace(one, concept=new.iri) if one.concept == old.iri else one for one in SURGEON.tags]
    ours = replace(SURGEON, vocabulary=newer, tags=[*tags, tag("peel", 70_000, 80_000)])
    for pair in ((ours, SURGEON), (SURGEON, ours)):
        found = compare(*pair)
        assert {name: overlap.iou for name, overlap in found.iou.items()} == {
            "ports": 1,
            "core-2": 1,
            "removal": 1,
            "peel": 0,
        }
        assert (found.whole.accuracy, among(pair).within) == (0.9, (0, 100_000))


def test_what_does_not_count_is_said_with_its_case() -> None:
    proposed = replace(SURGEON, tags=[replace(one, confirmed=False) for one in SURGEON.tags])
    assert compare(SURGEON, proposed).notes == (
        "B: 3 of 3 tags are only proposed and not confirmed; they are counted.",
    )


def test_three_people() -> None:
    found = among([SURGEON, FELLOW, SURGEON])
    assert found.alpha is not None and found.fleiss_kappa is not None
    assert 0.8 < found.fleiss_kappa < found.alpha < 1
    assert among([SURGEON] * 3).alpha == 1
    assert among([SURGEON] * 3, "technique").alpha is None


def _mirrored(found: Agreement) -> Sequence[object]:
    turned = [(piece.start, piece.end, piece.names[::-1]) for piece in found.disagreements]
    return found.whole.kappa, found.edit, sorted(turned, key=str), found.moments.matched, found.boundaries.within


@given(cases(), cases())
def test_who_is_first_makes_no_difference_but_to_f1(a: Case, b: Case) -> None:
    for facet in ("phase", "step", "technique", "event"):
        there, back = compare(a, b, facet), compare(b, a, facet)
        same = [(piece.start, piece.end, piece.names) for piece in back.disagreements]
        assert _mirrored(there) == (
            back.whole.kappa,
            back.edit,
            sorted(same, key=str),
            back.moments.matched,
            back.boundaries.within,
        )
        assert sum(ms for *_, ms in there.confusion) in (0, there.within.length)
        assert len(there.moments.alone) == there.moments.one + there.moments.other - 2 * there.moments.matched
