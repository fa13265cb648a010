"""Who carries out which action: whoever of the open bench has a method of the action's name."""

from collections.abc import Callable, Iterable

from annotator.desktop.commands.actions import BY_NAME
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.tag_commands import TagCommands
from annotator.desktop.record.tag_list import TagList
from annotator.desktop.timeline.timeline import Timeline
from annotator.desktop.workspace.adding_tags import AddingTags
from annotator.desktop.workspace.bench import Bench
from annotator.desktop.workspace.panels import Panels
from annotator.desktop.workspace.relink import Relink
from annotator.desktop.workspace.two_versions import TwoVersions

Function = Callable[[], object]
Opened = Callable[[], Bench | None]


def _record(bench: Bench) -> TagList:
    bench.panels.show_record()
    return bench.record


_OWNERS: tuple[tuple[type, Callable[[Bench], object]], ...] = (
    (Controller, lambda bench: bench.controller),
    (TagCommands, lambda bench: TagCommands(bench.controller)),
    (Bench, lambda bench: bench),
    (Panels, lambda bench: bench.panels),
    (Relink, lambda bench: bench.relink),
    (TwoVersions, lambda bench: bench.versions),
    (AddingTags, lambda bench: bench.adding),
    (TagList, _record),
    (Timeline, lambda bench: bench.timeline),
)


def by_bench(actions: Iterable[str], opened: Opened) -> dict[str, Function]:
    """For each action a function that calls what is open when the action is triggered; nothing while nothing is.

    Raises LookupError for an action that nobody carries out.
    """
    return {does: _by_owner(does, opened) for does in actions}


def _by_owner(does: str, opened: Opened) -> Function:
    for kind, part in _OWNERS:
        if _has(kind, does):
            return _call(does, opened, part)
    raise LookupError(f"nobody carries out {BY_NAME[does].text!r}")


def _has(kind: type, does: str) -> bool:
    """Whether a class has a method of ours, not one that Qt happens to call the same."""
    return any(does in vars(one) for one in kind.__mro__ if one.__module__.startswith("annotator."))


def _call(does: str, opened: Opened, part: Callable[[Bench], object]) -> Function:
    def call() -> None:
        bench = opened()
        if bench is not None:
            getattr(part(bench), does)()

    return call
