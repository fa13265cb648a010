"""Sessions in any order of changes, saves, kills, full disks and openings, against a plain list of states."""

import errno
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from msgspec.structs import replace

from annotator.errors import StoreError
from annotator.model import edits
from annotator.model.case import Case
from annotator.model.edits import Edit
from annotator.store.session import Change, Session
from tests.store.failing_disk import FailingDisk
from tests.store.on_disk import NAME, adding, as_a_kill_would_leave_it, at_noon, new_case, new_tag, noting

which = st.integers(0, 30)
NOON = "2026-11-24T12:00:00Z"


class Keeping(RuleBasedStateMachine):
    """`states` are those that undo and redo step through since the case was opened; `at` is where we are.

    `refused` are the changes of which one may be found although it was not acknowledged: the disk took it, then failed
    to say so, and then failed to take it back, also when a later change was refused at once. The next change that is
    made removes it.
    """

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.path = Path(self.folder.name) / "first" / NAME
        self.path.parent.mkdir()
        self.session = Session.create(self.path, new_case(), now=at_noon)
        self.opened(new_case())
        self.made = 0

    def opened(self, *expected: Case) -> None:
        assert self.session.case in expected
        assert self.session.warnings == ()
        self.states = [self.session.case]
        self.at = 0
        self.refused: tuple[Case, ...] = ()
        self.told: list[Change] = []
        self.session.subscribe(self.told.append)

    @property
    def case(self) -> Case:
        return self.states[self.at]

    def change(self, edit: Edit) -> None:
        before = self.case
        after = self.session.do(edit).after
        if after != before:
            self.states[self.at + 1 :] = [after]
            self.at += 1
            self.refused = ()

    # --- changes -------------------------------------------------------------------------------------------

    @rule()
    def add(self) -> None:
        self.made += 1
        self.change(adding(self.made))
        assert new_tag(self.made).id in self.case.by_id

    @rule(count=st.integers(1, 40))
    def add_many(self, count: int) -> None:
        tags = [new_tag(self.made + number) for number in range(1, count + 1)]
        self.made += count
        before = set(self.case.by_id)
        self.change(lambda case: edits.add(case, tags))
        assert set(self.case.by_id) == before | {tag.id for tag in tags}

    @precondition(lambda self: self.case.tags)
    @rule(which=which)
    def remove(self, which: int) -> None:
        gone = self.case.tags[which % len(self.case.tags)].id
        self.change(lambda case: edits.remove(case, [gone]))
        assert gone not in self.case.by_id

    @precondition(lambda self: self.case.tags)
    @rule(which=which, note=st.sampled_from(["", "why", "“how”\n\u2028"]))
    def note(self, which: int, note: str) -> None:
        tag_id = self.case.tags[which % len(self.case.tags)].id
        self.change(noting(int(tag_id.rpartition(":")[2]), note))
        assert self.case.by_id[tag_id].note == note

    @rule(title=st.sampled_from(["", "Model eye", "Another"]))
    def rename(self, title: str) -> None:
        self.change(lambda case: edits.rename(case, title))
        assert self.case.title == title

    @rule(fingerprint=st.sampled_from(["", "sha256-samples-1:0:0"]))
    def relocate(self, fingerprint: str) -> None:
        self.change(lambda case: edits.relocate(case, 0, "elsewhere.mp4", fingerprint))
        assert self.case.recordings[0].fingerprint == fingerprint

    @precondition(lambda self: self.at > 0)
    @rule()
    def undo(self) -> None:
        self.session.undo()
        self.at -= 1
        self.refused = ()

    @precondition(lambda self: self.at < len(self.states) - 1)
    @rule()
    def redo(self) -> None:
        self.session.redo()
        self.at += 1
        self.refused = ()

    # --- the disk ------------------------------------------------------------------------------------------

    @rule()
    def save(self) -> None:
        self.session.save()
        assert self.session.case == self.case

    @rule(early=st.integers(0, 2), late=st.integers(0, 2))
    def change_while_it_is_saved(self, early: int, late: int) -> None:
        """Changes before the mark of the save is in the journal, and behind it; a kill may come at any time."""
        saving = self.session.begin_saving()
        self.add_some(early)
        if saving is not None:
            saving.write()
        self.everything_acknowledged_is_on_disk()
        self.add_some(late)
        self.everything_acknowledged_is_on_disk()
        self.session.end_saving()
        assert self.session.is_saved or early or late

    def add_some(self, changes: int) -> None:
        for _ in range(changes):
            self.made += 1
            self.change(adding(self.made))

    @rule()
    def close_and_open(self) -> None:
        expected = self.case
        self.session.close()
        self.session = Session.open(self.path, now=at_noon)
        assert self.session.recovered == 0
        self.opened(expected)

    @rule()
    def kill_and_open(self) -> None:
        """What is on disk now is all that the next process has; it lies in another folder, as nobody can kill us."""
        expected, refused = self.case, self.refused
        place = Path(self.folder.name) / "after"
        shutil.copytree(self.path.parent, place)
        self.session.close()
        shutil.rmtree(self.path.parent)
        place.rename(self.path.parent)
        self.session = Session.open(self.path, now=at_noon)
        self.opened(expected, *refused)

    @rule(fails=st.integers(1, 12), lasting=st.booleans(), code=st.sampled_from([errno.ENOSPC, errno.EIO]))
    def change_on_a_failing_disk(self, fails: int, lasting: bool, code: int) -> None:
        self.made += 1
        with FailingDisk(fails, code, lasting):
            try:
                self.change(adding(self.made))
                self.session.save()
            except StoreError:
                if new_tag(self.made).id not in self.case.by_id:
                    stamped = replace(new_tag(self.made), created=NOON, modified=NOON)
                    self.refused += (edits.add(self.case, [stamped]).case,)

    # --- what always holds -----------------------------------------------------------------------------------

    @invariant()
    def the_session_has_the_state(self) -> None:
        assert self.session.case == self.case
        assert self.session.can_undo == (self.at > 0)
        assert self.session.can_redo == (self.at < len(self.states) - 1)

    @invariant()
    def what_was_told_last_is_the_state(self) -> None:
        if self.told:
            assert self.told[-1].after == self.case
        for earlier, later in zip(self.told, self.told[1:], strict=False):
            assert earlier.after == later.before

    @invariant()
    def everything_acknowledged_is_on_disk(self) -> None:
        with as_a_kill_would_leave_it(self.path) as left, Session.open(left, writable=False) as reader:
            assert reader.case in (self.case, *self.refused)
            assert reader.warnings == ()

    def teardown(self) -> None:
        self.session.close()
        self.folder.cleanup()


Keeping.TestCase.settings = settings(max_examples=30, stateful_step_count=30, deadline=None)
TestKeeping = Keeping.TestCase
