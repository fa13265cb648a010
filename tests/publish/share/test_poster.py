"""The picture that stands for a case shows the inside of the eye, or nothing of the recording at all."""

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from annotator.measure.poster_time import poster_range, poster_time
from annotator.media.pictures.opencv import cv2
from annotator.media.survey import survey
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.vocabulary import Vocabulary
from annotator.publish.share.poster import poster
from annotator.store.vocabularies import find
from tests.measure.cases import case as drawn
from tests.publish.numbered import HEIGHT, WIDTH, case_of, frames_of, number_on, recording

PHASES_FROM_OUTSIDE = ("access", "lens-surgery", "tamponade", "closure")


@pytest.fixture(scope="module")
def vitreoretinal() -> Vocabulary:
    return find("vitreoretinal")


def case_with(vocabulary: Vocabulary, *tags: tuple[str, int, int | None], **more: object) -> Case:
    made = tuple(
        Tag(f"urn:t:{at}", vocabulary.by_notation[notation].iri, start, end)
        for at, (notation, start, end) in enumerate(tags)
    )
    return replace(drawn(), vocabulary=vocabulary, tags=made)


def test_it_is_the_middle_of_the_first_step_inside(vitreoretinal: Vocabulary) -> None:
    case = case_with(vitreoretinal, ("port-placement", 0, 9_000), ("core-vitrectomy", 10_000, 30_000))
    assert poster_time(case) == 20_000
    running = case_with(vitreoretinal, ("delamination", 60_000, None))
    assert poster_time(running) == (60_000 + running.duration) // 2


def test_a_phase_will_do(vitreoretinal: Vocabulary) -> None:
    assert poster_time(case_with(vitreoretinal, ("membrane-work", 0, 10_000))) == 5_000


@pytest.mark.parametrize("phase", PHASES_FROM_OUTSIDE)
def test_no_step_that_is_seen_from_outside_stands_for_a_case(vitreoretinal: Vocabulary, phase: str) -> None:
    steps = [one.notation for one in vitreoretinal.concepts if one.broader == phase]
    assert steps
    for notation in (phase, *steps):
        assert poster_time(case_with(vitreoretinal, (notation, 0, 10_000))) is None, notation


@pytest.mark.parametrize("name", ["cataract", "general"])
def test_what_is_always_seen_from_outside_has_no_picture(name: str) -> None:
    vocabulary = find(name)
    for concept in vocabulary.concepts:
        assert poster_time(case_with(vocabulary, (concept.notation, 0, 10_000))) is None, concept.notation


def test_a_time_that_another_step_covers_does_not_count(vitreoretinal: Vocabulary) -> None:
    case = case_with(
        vitreoretinal,
        ("vitrectomy", 0, 20_000),
        ("cryotherapy", 9_000, 11_000),
        ("base-shaving", 12_000, 20_000),
    )
    assert poster_time(case) == 16_000


def test_what_nobody_stands_behind_does_not_count(vitreoretinal: Vocabulary) -> None:
    case = case_with(vitreoretinal, ("core-vitrectomy", 0, 10_000))
    proposed = replace(case, tags=tuple(replace(tag, confirmed=False) for tag in case.tags))
    assert poster_time(proposed) is None


def test_a_tag_outside_the_recording_and_an_unknown_term_have_no_picture(vitreoretinal: Vocabulary) -> None:
    outside = case_with(vitreoretinal, ("core-vitrectomy", 900_000, 900_500))
    assert poster_time(outside) is None
    unknown = replace(outside, tags=(Tag("urn:t", "https://elsewhere.example/x", 0, 5_000),))
    assert poster_time(unknown) is None


def test_the_frame_is_that_of_the_time(tmp_path: Path, vitreoretinal: Vocabulary) -> None:
    film = recording(tmp_path / "eye.mp4", 60, "30", "-c:v", "libx264", "-pix_fmt", "yuv420p", "-g", "30")
    case = case_of(film, tags=(frames_of(film, "ports", 0, 20), frames_of(film, "core", 20, 40)))
    core = vitreoretinal.by_notation["core-vitrectomy"].iri
    ports = vitreoretinal.by_notation["port-placement"].iri
    tags = tuple(replace(tag, concept=iri) for tag, iri in zip(case.tags, (ports, core), strict=True))
    inside = replace(case, vocabulary=vitreoretinal, tags=tags)
    (tmp_path / "poster.jpg").write_bytes(poster(inside, [survey(film)]))
    assert number_on(tmp_path / "poster.jpg") in (29, 30)


def test_the_drawn_picture_has_nothing_of_the_recording(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 60, "30", "-c:v", "libx264", "-pix_fmt", "yuv420p")
    other = recording(tmp_path / "other.mp4", 60, "30", "-c:v", "libx264", "-pix_fmt", "yuv420p", first=200)
    pictures = [poster(case_of(one), [survey(one)]) for one in (film, other)]
    assert pictures[0] == pictures[1]
    shaped = replace(case_of(film), recordings=(replace(case_of(film).recordings[0], width=WIDTH, height=HEIGHT),))
    picture = cv2.imdecode(np.frombuffer(poster(shaped, [survey(film)]), np.uint8), cv2.IMREAD_COLOR)
    assert picture is not None
    assert picture.shape == (HEIGHT, WIDTH, 3)
    assert picture.mean() < 50


def test_frames_before_it_may_stand_for_the_case_as_far_as_all_is_seen_from_inside(vitreoretinal: Vocabulary) -> None:
    case = case_with(
        vitreoretinal,
        ("vitrectomy", 0, 20_000),
        ("cryotherapy", 3_000, 7_000),
    )
    assert poster_range(case) == Interval(7_000, 10_000)
    second = replace(case, recordings=(replace(case.recordings[0], duration=9_000), *case.recordings))
    assert poster_range(second) == Interval(9_000, 10_000), "all of it in one recording"
    assert poster_range(case_with(vitreoretinal, ("port-placement", 0, 9_000))) is None
