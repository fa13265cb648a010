"""The window is killed in the middle of work, again and again: the next one has every change that was acknowledged."""

import json
import os
import random
import signal
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from select import select
from time import monotonic
from typing import Any, TypeAlias

import pytest

from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of
from tests.desktop.killing import plain_tags
from tests.desktop.workspace.test_case_notices import case_of

KILLS = 16
"""At least."""

SEED = 20
MOST = 14
"""Changes that a window may make before it is killed; counted, as a busy machine makes few in a given time."""

LONGEST = 0.03
"""Seconds between the last of them and the kill, at most: several changes long."""

FOUND_AGAIN = "Work from before an interruption was recovered"

Tags: TypeAlias = dict[str, Any]


class Heard:
    """What the killed windows have said: what must be there, and what was under way."""

    def __init__(self) -> None:
        self.done: Tags = {}
        self.under_way = ""
        self.changes = self.kills = self.kills_while_saving = self.found_again = 0

    def hears(self, said: dict[str, Any]) -> None:
        if "opened" in said:
            self._opened(said)
        elif "does" in said:
            self.under_way = said["does"]
        elif "has" in said:
            assert said["says"]
            self.done, self.under_way = said["has"], ""
            self.changes += 1

    def is_killed(self) -> None:
        self.kills += 1
        self.kills_while_saving += self.under_way in ("save", "reopen")

    def is_enough(self) -> bool:
        """What a window was doing when it was killed is up to the machine, so it goes on until this is so."""
        return self.kills_while_saving > KILLS // 8 and self.found_again > KILLS // 3

    def _opened(self, said: dict[str, Any]) -> None:
        """A window that opens finds all that was done; of what was under way all or nothing."""
        found = said["opened"]
        assert not said["read_only"], said["notices"]
        assert bool(said["recovered"]) == any(FOUND_AGAIN in text for text in said["notices"])
        self.found_again += bool(said["recovered"])
        if found != self.done:
            assert self.under_way not in ("", "save", "reopen", "go on")
            assert len([key for key in {*found, *self.done} if found.get(key) != self.done.get(key)]) <= 2
        self.done, self.under_way = found, ""


def one_round(windows: "subprocess.Popen[bytes]", heard: Heard, dice: random.Random, aim: str) -> None:
    """Let a window work and kill it: a moment after so many changes, or after it has begun to do what is aimed at."""
    assert windows.stdin is not None
    assert windows.stdout is not None
    windows.stdin.write(f"{dice.randrange(10**6)}\n".encode())
    windows.stdin.flush()
    child, has_opened, ends, rest = 0, False, 0.0, b""
    last = heard.changes + dice.randint(1, MOST)
    while True:
        left = max(ends - monotonic(), 0) if ends else None
        if not select([windows.stdout], [], [], left)[0]:
            os.kill(child, signal.SIGKILL)
            ends = 0.0
            continue
        *lines, rest = (rest + os.read(windows.stdout.fileno(), 65_536)).split(b"\n")
        for line in map(json.loads, lines):
            child = line.get("child", child)
            has_opened = has_opened or "opened" in line
            if "ended" in line:
                assert line["killed"], f"the window has ended by itself, when it was to {heard.under_way}"
                return
            heard.hears(line)
            due = line.get("does") == aim if aim else heard.changes >= last
            if not ends and has_opened and due:
                ends = monotonic() + dice.uniform(0, 0.005 if aim else LONGEST)


@pytest.mark.skipif(sys.platform == "win32", reason="forks, and kills by a signal")
@pytest.mark.timeout(600)
def test_a_killed_window_has_lost_nothing_that_it_acknowledged(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.close_case()
    case, dice, heard = case_of(recording), random.Random(SEED), Heard()
    command = [sys.executable, "-m", "tests.desktop.killing", str(case)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as windows:
        while heard.kills < KILLS or not heard.is_enough():
            one_round(windows, heard, dice, "save" if heard.kills % 3 == 2 else "")
            heard.is_killed()
        assert windows.stdin is not None
        windows.stdin.close()
    opened(case)
    session = controller_of(window).session
    said = {"opened": plain_tags(session.case), "read_only": session.read_only, "recovered": session.recovered}
    heard.hears(said | {"notices": bench_of(window).notices.texts})
    assert_whole(session)
    assert heard.changes > 2 * KILLS


def assert_whole(session: Session) -> None:
    """Of a change that touches two tags never one half: two steps neither overlap nor run at once."""
    case = session.case
    for facet in case.vocabulary.facets:
        if facet.exclusive:
            for one, other in combinations(case.in_facet(facet.name), 2):
                assert not case.range_of(one).overlaps(case.range_of(other)) or one.start == one.end
