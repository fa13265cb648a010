"""Edits in any order, against a plain list of rows and a grid of moments.

The list knows nothing of the program's rules but what the docstrings of `annotator.model.edits` promise;
who has which moment of an exclusive facet is looked up by walking over every row.
"""

from dataclasses import dataclass, replace

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from annotator.errors import InvalidEdit
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from tests.strategies import BASE, VOCABULARY

END = 30
"""The case lasts so many ms; small, so that tags meet all the time."""

EXCLUSIVE = {"core": "step", "shaving": "step", "removal": "step", "vitrectomy": "phase", "closure": "phase"}

at = st.integers(0, END - 1)
edge = st.integers(0, END)
which = st.integers(0, 99)
ranged = st.sampled_from([*EXCLUSIVE, "bimanual"])


@dataclass(frozen=True)
class Row:
    id: str
    notation: str
    start: int
    end: int | None
    note: str = ""

    @property
    def facet(self) -> str:
        return EXCLUSIVE.get(self.notation, self.notation)

    def has(self, moment: int) -> bool:
        return self.start <= moment < (END if self.end is None else self.end)


class Editing(RuleBasedStateMachine):
    """Only edits that the window makes: none of them may leave two tags of an exclusive facet at one time."""

    def __init__(self) -> None:
        super().__init__()
        self.case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", END),))
        self.rows: list[Row] = []
        self.made = 0

    # --- helpers -------------------------------------------------------------------------------------------

    def new(self, notation: str, start: int) -> Tag:
        self.made += 1
        return Tag(f"urn:{self.made:04}", f"{BASE}#{notation}", start, None)

    def put(self, *rows: Row) -> None:
        by_id = {row.id: row for row in (*self.rows, *rows)}
        self.rows = list(by_id.values())

    def is_sound(self, changed: Row) -> bool:
        """Whether a changed row may stand: the right way round, and alone where only one may be."""
        if changed.end is not None and changed.end <= changed.start:
            return changed.notation == "bleeding" and changed.end == changed.start
        others = [row for row in self.rows if row.id != changed.id and row.facet == changed.facet]
        alone = not any(row.has(moment) for row in others for moment in range(END) if changed.has(moment))
        return changed.notation not in EXCLUSIVE or alone

    def attempt(self, edit: edits.Edit, changed: Row) -> None:
        """The edit is made where the changed row may stand, and refused where it may not."""
        if self.is_sound(changed):
            self.case = edit(self.case).case
            self.put(changed)
        else:
            before = self.case
            try:
                edit(self.case)
            except InvalidEdit:
                assert self.case is before
            else:
                raise AssertionError(f"{changed} was let through")

    # --- rules ---------------------------------------------------------------------------------------------

    @rule(notation=ranged, at=at)
    def begin(self, notation: str, at: int) -> None:
        tag = self.new(notation, at)
        self.case = edits.begin(self.case, tag).case
        row = Row(tag.id, notation, at, None)
        peers = [one for one in self.rows if notation in EXCLUSIVE and one.facet == row.facet and one.end != one.start]
        held = next((one for one in peers if one.has(at)), None)
        if held is not None and held.start == at:
            self.put(replace(held, notation=notation))
            return
        if held is not None:
            self.put(replace(held, end=at), replace(row, end=held.end))
            return
        following = [one.start for one in peers if one.start > at]
        self.put(replace(row, end=min(following, default=None)))

    @rule(at=at)
    def mark(self, at: int) -> None:
        tag = self.new("bleeding", at)
        self.case = edits.mark(self.case, tag).case
        self.put(Row(tag.id, "bleeding", at, at))

    @precondition(lambda self: self.rows)
    @rule(which=which, at=edge)
    def finish(self, which: int, at: int) -> None:
        row = self.rows[which % len(self.rows)]
        if row.end is None:
            self.attempt(lambda case: edits.finish(case, row.id, at), replace(row, end=at))

    @precondition(lambda self: self.rows)
    @rule(which=which, at=edge)
    def move_start(self, which: int, at: int) -> None:
        row = self.rows[which % len(self.rows)]
        self.attempt(lambda case: edits.move_start(case, row.id, at), replace(row, start=at))

    @precondition(lambda self: self.rows)
    @rule(which=which, at=edge)
    def move_end(self, which: int, at: int) -> None:
        row = self.rows[which % len(self.rows)]
        self.attempt(lambda case: edits.move_end(case, row.id, at), replace(row, end=at))

    @precondition(lambda self: self.rows)
    @rule(which=which, start=at, end=st.none() | edge)
    def move(self, which: int, start: int, end: int | None) -> None:
        row = self.rows[which % len(self.rows)]
        self.attempt(lambda case: edits.move(case, row.id, start, end), replace(row, start=start, end=end))

    @precondition(lambda self: self.rows)
    @rule(which=which, notation=ranged)
    def retag(self, which: int, notation: str) -> None:
        row = self.rows[which % len(self.rows)]
        self.attempt(lambda case: edits.retag(case, row.id, f"{BASE}#{notation}"), replace(row, notation=notation))

    @precondition(lambda self: self.rows)
    @rule(which=which, at=at)
    def split(self, which: int, at: int) -> None:
        row = self.rows[which % len(self.rows)]
        if row.start < at and row.has(at):
            later = self.new(row.notation, at).id
            self.case = edits.split(self.case, row.id, at, later).case
            self.put(replace(row, end=at), replace(row, id=later, start=at))

    @precondition(lambda self: len(self.rows) > 1)
    @rule(which=which, other=which)
    def join(self, which: int, other: int) -> None:
        first, second = sorted(
            (self.rows[which % len(self.rows)], self.rows[other % len(self.rows)]),
            key=lambda row: (row.start, float("-inf") if row.end is None else -row.end, row.id),
        )
        if first.id == second.id or first.notation != second.notation:
            return
        end = None if None in (first.end, second.end) else max(first.end or 0, second.end or 0)
        kept = list(self.rows)
        self.rows.remove(second)
        joined = replace(first, end=end)
        if not self.is_sound(joined):
            self.rows = kept
        self.attempt(lambda case: edits.join(case, first.id, second.id), joined)

    @precondition(lambda self: self.rows)
    @rule(which=which)
    def remove(self, which: int) -> None:
        row = self.rows.pop(which % len(self.rows))
        self.case = edits.remove(self.case, [row.id]).case

    @precondition(lambda self: self.rows)
    @rule(which=which, note=st.sampled_from(["", "why", "how"]))
    def describe(self, which: int, note: str) -> None:
        row = self.rows[which % len(self.rows)]
        self.case = edits.describe(self.case, [row.id], note=note).case
        self.put(replace(row, note=note))

    # --- what always holds -----------------------------------------------------------------------------------

    @invariant()
    def the_case_says_what_the_rows_say(self) -> None:
        tags = {tag.id: (tag.concept, tag.start, tag.end) for tag in self.case.tags}
        assert tags == {row.id: (f"{BASE}#{row.notation}", row.start, row.end) for row in self.rows}

    @invariant()
    def tags_are_in_order_and_by_id(self) -> None:
        starts = [tag.start for tag in self.case.tags]
        assert starts == sorted(starts)
        assert self.case.by_id == {tag.id: tag for tag in self.case.tags}

    @invariant()
    def an_exclusive_facet_holds_one_tag_at_a_time(self) -> None:
        for facet in ("step", "phase"):
            for moment in range(END):
                assert sum(row.has(moment) for row in self.rows if row.facet == facet) <= 1


Editing.TestCase.settings = settings(max_examples=150, stateful_step_count=40, deadline=None)
TestEditing = Editing.TestCase
