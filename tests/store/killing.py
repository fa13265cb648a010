"""Kill a process that changes a case, again and again, and look each time for what it said was done.

    python -m tests.store.killing FOLDER KILLS SEED

Each round forks a child that opens the case and changes it at random: adds, notes, removes, undoes, saves, closes and
opens again. Before each of these it says what it is about to do, and after it that it is done. After some of that it
is killed (SIGKILL) wherever it is by then. Then the case must hold every change that was said to be done, and of the
one under way all or nothing. It goes on until a quarter of KILLS came in the middle of something. Prints how many were
killed, how many of them in the middle, and how many changes had been done.
"""

import os
import random
import signal
import sys
from pathlib import Path
from typing import NamedTuple, TypeAlias

from annotator.model import edits
from annotator.model.case import Case
from annotator.store.session import Session
from tests.store.on_disk import NAME, adding, new_case, new_tag, noting

Notes: TypeAlias = dict[int, str]
"""A case as far as it matters here: the note of each tag, by the tag's number."""

MOST = 12
"""Lines that are heard of a child before it is killed, at most."""


class Step(NamedTuple):
    verb: str
    number: int = 0
    note: str = ""

    def after(self, before: Notes) -> Notes:
        """The notes after the step, `undo` apart."""
        match self.verb:
            case "add":
                return before | {self.number: ""}
            case "note":
                return before | {self.number: self.note}
            case "remove":
                return {number: note for number, note in before.items() if number != self.number}
            case _:
                return before

    def take(self, session: Session) -> Session:
        match self.verb:
            case "add":
                session.do(adding(self.number))
            case "note":
                session.do(noting(self.number, self.note))
            case "remove":
                session.do(lambda case: edits.remove(case, [new_tag(self.number).id]))
            case "undo":
                session.undo()
            case "save":
                session.save()
            case "reopen":
                session.close()
                return Session.open(session.path)
        return session


class Expected:
    """What the child has said: what must be there, and what may be there instead."""

    def __init__(self, notes: Notes) -> None:
        self.done = notes
        self.begun: Step | None = None
        self.changes = 0
        self._undo: list[Notes] = []

    def hears(self, line: str) -> None:
        mark, verb, number, note = line.split(" ")
        step = Step(verb, int(number), note)
        if mark == "?":
            self.begun = step
            return
        before, self.done, self.begun = self.done, self.next(step), None
        if verb == "undo":
            self._undo.pop()
        elif verb == "reopen":
            self._undo.clear()
        elif verb != "save":
            self._undo.append(before)
            self.changes += 1

    def next(self, step: Step) -> Notes:
        return self._undo[-1] if step.verb == "undo" else step.after(self.done)

    def allows(self, found: Notes) -> bool:
        return found == self.done or (self.begun is not None and found == self.next(self.begun))


def notes_in(case: Case) -> Notes:
    return {int(tag.id.rpartition(":")[2]): tag.note for tag in case.tags}


def change_until_killed(path: Path, says: int, dice: random.Random) -> None:
    session = Session.open(path)
    following = max(notes_in(session.case), default=0) + 1
    while True:
        there = list(notes_in(session.case))
        verbs = (
            ["add", "add", "save", "reopen"] + ["note", "note", "remove"] * bool(there) + ["undo"] * session.can_undo
        )
        verb = dice.choice(verbs)
        number = dice.choice(there) if verb in ("note", "remove") else following
        step = Step(verb, number, f"{dice.random()}")
        os.write(says, f"? {step.verb} {step.number} {step.note}\n".encode())
        session = step.take(session)
        os.write(says, f"! {step.verb} {step.number} {step.note}\n".encode())
        following += verb == "add"


def one_round(path: Path, dice: random.Random) -> Expected:
    """Fork, listen, kill; returns what was heard."""
    expected = Expected(notes_in(look(path)))
    hears, says = os.pipe()
    pid = os.fork()
    if not pid:
        os.close(hears)
        change_until_killed(path, says, dice)
    os.close(says)
    heard, wanted = b"", dice.randrange(MOST)
    while heard.count(b"\n") < wanted:
        more = os.read(hears, 65_536)
        assert more, "the child has ended by itself"
        heard += more
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    while rest := os.read(hears, 65_536):
        heard += rest
    os.close(hears)
    for line in heard.decode().splitlines():
        expected.hears(line)
    return expected


def look(path: Path, writable: bool = False) -> Case:
    with Session.open(path, writable) as session:
        assert session.warnings == (), session.warnings
        assert session.holder is None
        return session.case


def main(folder: Path, kills: int, seed: int) -> None:
    path = folder / NAME
    dice = random.Random(seed)
    Session.create(path, new_case()).close()
    killed = in_the_middle = changes = 0
    # Whether a kill comes in the middle is up to the machine, so it goes on until a quarter of them did.
    while killed < kills or in_the_middle < kills // 4:
        killed += 1
        expected = one_round(path, random.Random(dice.random()))
        # Every other time the next child finds things as the kill left them, not as a clean closing does.
        found = notes_in(look(path, writable=dice.random() < 0.5))
        assert expected.allows(found), f"found {found}, done was {expected.done}, under way {expected.begun}"
        in_the_middle += expected.begun is not None
        changes += expected.changes
    look(path, writable=True)
    assert {one.name for one in folder.iterdir()} <= {NAME, f"{NAME}.previous"}, list(folder.iterdir())
    print(killed, in_the_middle, changes)  # noqa: T201 - this is what the program is for


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
