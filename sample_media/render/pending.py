"""Files that appear under their names all together, or not at all."""

from pathlib import Path
from types import TracebackType
from typing import Self


class Pending:
    """Hands out temporary names beside the final ones; `commit` renames, leaving without it deletes."""

    def __init__(self) -> None:
        self._parts: list[tuple[Path, Path]] = []

    def __enter__(self) -> Self:
        return self

    def path(self, final: Path) -> Path:
        """A name in the same folder with the same ending, to write to."""
        part = final.with_name(f".{final.stem}.part{final.suffix}")
        self._parts.append((part, final))
        return part

    def commit(self) -> None:
        for part, final in self._parts:
            part.replace(final)
        self._parts.clear()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        for part, _ in self._parts:
            part.unlink(missing_ok=True)
