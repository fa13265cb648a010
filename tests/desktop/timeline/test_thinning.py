"""However many tags lie in the timeline, only what can be seen is painted, and nothing that can be seen is left out."""

from operator import itemgetter

from hypothesis import given
from hypothesis import strategies as st

from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.thinning import THIN, Extents
from annotator.model.timecode import Ms

AT = 5_000
RANGES = st.lists(
    st.tuples(st.integers(0, 10_000), st.none() | st.integers(0, 3_000), st.integers(0, 2)).map(
        lambda one: (one[0], None if one[1] is None else one[0] + one[1], one[2])
    ),
    max_size=60,
).map(lambda ranges: sorted(ranges, key=itemgetter(0)))
SCALES = st.builds(
    lambda start, length, width: Scale(start, start + length, 100, width),
    st.integers(0, 8_000),
    st.integers(400, 10_000),
    st.integers(50, 1_500),
)


def end_of(start: Ms, end: Ms | None) -> Ms:
    return max(start, AT) if end is None else end


@given(RANGES, SCALES)
def test_each_visible_range_is_painted_or_lies_under_a_stroke(
    ranges: list[tuple[Ms, Ms | None, int]], scale: Scale
) -> None:
    full, found = Extents(ranges).worth_painting(scale, AT, scale.left, scale.left + scale.width)
    strokes = found.tolist()
    assert full == sorted(set(full))
    assert strokes == sorted(set(strokes))
    for number, (start, end, row) in enumerate(ranges):
        visible = scale.shows(start, end_of(start, end))
        assert visible or number not in full + strokes
        if not visible:
            continue
        if scale.x(end_of(start, end)) - scale.x(start) > THIN + 1e-6:
            assert number in full
        elif number not in full:
            assert any(
                ranges[one][2] == row and abs(scale.x(ranges[one][0]) - scale.x(start)) < THIN for one in strokes
            )


@given(RANGES, SCALES)
def test_strokes_are_no_more_than_there_is_room_for(ranges: list[tuple[Ms, Ms | None, int]], scale: Scale) -> None:
    _, strokes = Extents(ranges).worth_painting(scale, AT, scale.left, scale.left + scale.width)
    assert len(strokes) <= 3 * (scale.width / THIN + 3)


def test_of_ten_thousand_few_are_left() -> None:
    full, strokes = Extents((at, at + 100, 0) for at in range(0, 1_000_000, 100)).worth_painting(
        Scale(0, 1_000_000, 0, 1_000), 0, 0, 1_000
    )
    assert (len(full), len(strokes)) == (0, 500)


@given(RANGES, SCALES, st.floats(0, 1), st.floats(0, 1))
def test_a_part_shows_what_the_whole_shows_there(
    ranges: list[tuple[Ms, Ms | None, int]], scale: Scale, one: float, other: float
) -> None:
    left, right = (scale.left + scale.width * share for share in sorted((one, other)))
    whole, part = (
        {int(number) for kind in Extents(ranges).worth_painting(scale, AT, *edges) for number in kind}
        for edges in ((scale.left, scale.left + scale.width), (left, right))
    )

    def is_there(number: int) -> bool:
        start, end, _ = ranges[number]
        return scale.x(start) <= right and max(scale.x(end_of(start, end)), scale.x(start) + THIN) >= left

    assert part <= whole | {number for number in part if not is_there(number)}
    assert {number for number in whole if is_there(number)} <= part


@given(RANGES, SCALES, SCALES)
def test_what_was_asked_for_before_is_no_answer_to_something_else(
    ranges: list[tuple[Ms, Ms | None, int]], scale: Scale, other: Scale
) -> None:
    used = Extents(ranges)
    for asked, at in ((scale, AT), (other, AT), (other, AT + 700), (scale, AT)):
        edges = asked.left, asked.left + asked.width
        full, strokes = used.worth_painting(asked, at, *edges)
        fresh, fresh_strokes = Extents(ranges).worth_painting(asked, at, *edges)
        assert (full, strokes.tolist()) == (fresh, fresh_strokes.tolist())
