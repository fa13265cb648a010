"""A process that is killed at any moment has lost nothing that it said was done."""

import subprocess
import sys
from pathlib import Path

import pytest

from annotator.store.session import Session
from tests.store.on_disk import NAME, new_case, numbers, read

KILLS = 120
"""For each of two seeds; with them the suite kills well over 200 processes."""


@pytest.mark.skipif(sys.platform == "win32", reason="forks; the test below kills on every system")
@pytest.mark.parametrize("seed", [1, 2])
def test_nothing_acknowledged_is_lost_to_a_kill(tmp_path: Path, seed: int) -> None:
    command = [sys.executable, "-m", "tests.store.killing", str(tmp_path), str(KILLS), str(seed)]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, ""), run.stderr[-3_000:]
    kills, in_the_middle, changes = map(int, run.stdout.split())
    assert kills >= KILLS
    assert in_the_middle >= KILLS // 4
    assert changes > KILLS


COUNTING = """
import sys
from pathlib import Path
from annotator.store.session import Session
from tests.store.on_disk import adding, numbers

with Session.open(Path(sys.argv[1])) as session:
    number = max(numbers(session.case), default=0)
    while True:
        number += 1
        session.do(adding(number))
        print(number, flush=True)
        if number % 5 == 0:
            session.save()
"""


def test_a_killed_process_of_its_own_has_lost_nothing_either(tmp_path: Path) -> None:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    for round_ in range(1, 8):
        command = [sys.executable, "-c", COUNTING, str(path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            for _ in range(round_):
                said = int(process.stdout.readline())
            process.kill()
            said = max([said, *map(int, process.stdout.read().split())])
        assert numbers(read(path)) in (list(range(1, said + 1)), list(range(1, said + 2)))
