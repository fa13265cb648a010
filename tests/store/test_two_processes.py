"""Two processes on one case: one changes it, the other is told who, and reads."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from annotator.errors import CaseBusy
from annotator.store.session import Session
from tests.store.on_disk import NAME, adding, files_in, new_case, numbers, read

OTHER = """
import sys
from pathlib import Path
from annotator.store.session import Session
from tests.store.on_disk import adding

session = Session.open(Path(sys.argv[1]))
print("open", flush=True)
for line in sys.stdin:
    if line == "save\\n":
        session.save()
    else:
        session.do(adding(int(line)))
    print("done", flush=True)
session.close()
"""


class Other:
    """Another process with the case open for changing."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        assert self._answer() == "open"

    def _answer(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def does(self, what: int | str) -> None:
        assert self.process.stdin is not None
        print(what, file=self.process.stdin, flush=True)
        assert self._answer() == "done"

    def closes(self) -> None:
        self.process.communicate()
        assert self.process.returncode == 0

    def is_killed(self) -> None:
        self.process.kill()
        self.process.communicate()


@contextmanager
def other_process(path: Path) -> Iterator[Other]:
    command = [sys.executable, "-c", OTHER, str(path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield Other(process)
        finally:
            process.kill()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    return path


def test_the_second_is_told_who_has_it_and_can_read(path: Path) -> None:
    with other_process(path) as other:
        other.does(1)
        with pytest.raises(CaseBusy) as caught:
            Session.open(path)
        assert f"process {other.process.pid}" in caught.value.holder
        assert str(caught.value).startswith(f"{path} is open elsewhere (by ")
        assert "close it there and try again" in str(caught.value)
        with Session.open(path, writable=False) as reader:
            assert reader.holder == caught.value.holder
            assert numbers(reader.case) == [1]
            with pytest.raises(CaseBusy):
                reader.do(adding(2))
        other.does(2)
        other.does("save")
        other.does(3)
        assert numbers(read(path)) == [1, 2, 3]
        other.closes()
    with Session.open(path) as session:
        assert numbers(session.case) == [1, 2, 3]
        assert session.holder is None
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]


def test_a_case_is_not_created_over_one_that_is_open(path: Path) -> None:
    with other_process(path) as other:
        with pytest.raises(CaseBusy):
            Session.create(path, new_case(2), overwrite=True)
        other.does(1)
        other.closes()
    assert numbers(read(path)) == [1]


def test_a_process_that_dies_gives_the_case_free(path: Path) -> None:
    with other_process(path) as other:
        other.does(1)
        other.does(2)
        other.is_killed()
        with Session.open(path, writable=False) as reader:
            assert reader.holder is None
        with Session.open(path) as session:
            assert (session.recovered, numbers(session.case)) == (2, [1, 2])
            session.do(adding(3))
    assert numbers(read(path)) == [1, 2, 3]
    assert files_in(path.parent) == [NAME, f"{NAME}.previous"]


def test_a_lock_that_says_nothing_readable_still_holds(path: Path) -> None:
    with other_process(path) as other:
        path.with_name(f".{NAME}.holder").write_bytes(b"\xff")
        with pytest.raises(CaseBusy, match="by another program"):
            Session.open(path)
        other.closes()


WRITER = """
import sys
from pathlib import Path
from annotator.errors import CaseBusy
from annotator.store.session import Session
from tests.store.on_disk import adding

first = int(sys.argv[2])
for number in range(first, first + 12):
    while True:
        try:
            with Session.open(Path(sys.argv[1])) as session:
                session.do(adding(number))
            break
        except CaseBusy:
            pass
"""

READER = """
import sys
from pathlib import Path
from annotator.store.session import Session
from tests.store.on_disk import numbers

seen = []
while len(seen) < 48:
    with Session.open(Path(sys.argv[1]), writable=False) as session:
        now = numbers(session.case)
    assert set(seen) <= set(now), "a reader saw a change and then not"
    assert not session.warnings
    seen = now
"""


def test_four_writers_and_a_reader_at_once_lose_nothing(path: Path) -> None:
    """Locks are taken and given back some fifty times, their files made and removed, while others wait for them."""
    commands = [[WRITER, str(path), str(first)] for first in (100, 200, 300, 400)] + [[READER, str(path)]]
    processes = [
        subprocess.Popen([sys.executable, "-c", *command], stderr=subprocess.PIPE, text=True) for command in commands
    ]
    for process in processes:
        _, said = process.communicate()
        assert (process.returncode, said) == (0, "")
    assert numbers(read(path)) == [first + number for first in (100, 200, 300, 400) for number in range(12)]
    assert [name for name in files_in(path.parent) if not name.startswith(NAME)] == []


def test_a_reader_needs_neither_a_lock_nor_a_library_for_it(path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from annotator.store.session import Session;"
        "Session.open(Path(sys.argv[1]), writable=False).close();"
        "heavy = {'filelock', 'numpy', 'av', 'cv2', 'rdflib', 'yaml', 'PySide6'} & sys.modules.keys();"
        "sys.exit(f'loaded {heavy}' if heavy else 0)"
    )
    run = subprocess.run([sys.executable, "-c", program, str(path)], capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, "")
