"""A case is carried to another vocabulary in one change, which can be undone."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import StoreError
from annotator.model import edits
from annotator.model.roles import Role, Roles
from annotator.store.roles import find_roles
from annotator.store.session import Session
from annotator.workflow.carry_case import carry_case
from tests.vocabulary.drawn_by_hand import case, concept, vocabulary

OLD = vocabulary(concept("core"), concept("air"), concept("gone"))
NEW = vocabulary(concept("core", label="Core vitrectomy"), concept("gas", replaces=("air",)), version="2")
CASE = case(OLD, [("core", 1_000, 2_000), ("air", 2_000, 3_000), ("gone", 3_000, 4_000)])


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session.create(tmp_path / "model-eye.case.jsonld", CASE)


def test_tags_get_the_concepts_of_the_new_one_and_keep_their_times(session: Session) -> None:
    carry_case(session, NEW)
    assert session.case.vocabulary == NEW
    assert [tag.concept.rpartition("#")[2] for tag in session.case.tags] == ["core", "gas", "gone"]
    assert [(tag.id, tag.start, tag.end) for tag in session.case.tags] == [
        (tag.id, tag.start, tag.end) for tag in CASE.tags
    ]


def test_what_had_to_be_decided_is_told(session: Session) -> None:
    assert carry_case(session, NEW) == (
        "“Core” is now “Core vitrectomy” (1 tag)",
        "“Air” is now “Gas” (1 tag)",
        "“Gone” is not in ours 2: the old term is kept (1 tag)",
    )


def test_it_is_one_change_that_can_be_undone(session: Session, tmp_path: Path) -> None:
    before = session.case
    carry_case(session, NEW)
    carried = session.case
    session.undo()
    assert (session.case, session.can_undo) == (before, False)
    session.redo()
    session.close()
    with Session.open(session.path) as again:
        assert again.case == carried


def test_it_gets_the_roles_of_a_new_case_and_keeps_those_that_its_tags_name(session: Session) -> None:
    ours = Roles((Role("lead", {"en": "lead surgeon"}), Role("help", {"en": "help"}, {"en": ("lead surgeons",)})))
    first, second, _ = session.case.tags
    session.do(lambda case: edits.Edited(replace(case, roles=ours), "other roles"))
    session.do(lambda case: edits.describe(case, [first.id], performer="lead"))
    carry_case(session, NEW)
    assert list(session.case.roles.by_code) == [*find_roles().by_code, "lead"]
    assert session.case.tag(first.id).performer == "lead"
    assert session.case.tag(second.id).performer is None


def test_a_role_that_the_new_list_calls_otherwise_is_followed(session: Session) -> None:
    first, *_ = session.case.tags
    ours = Roles((Role("Fellow", {"en": "fellow"}),))
    session.do(lambda case: edits.Edited(replace(case, roles=ours), "other roles"))
    session.do(lambda case: edits.describe(case, [first.id], performer="Fellow"))
    carry_case(session, NEW)
    assert session.case.tag(first.id).performer == "trainee"
    assert session.case.roles == find_roles()


def test_a_case_that_is_open_for_reading_is_not_carried(session: Session) -> None:
    session.close()
    with Session.open(session.path, writable=False) as reader:
        with pytest.raises(StoreError, match="open read-only"):
            carry_case(reader, NEW)
        assert reader.case.vocabulary == OLD
