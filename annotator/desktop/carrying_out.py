"""Who carries out which action: whoever of the open bench has a method of the action's name."""

from collections.abc import Callable, Iterable

from annotator.desktop.actions import BY_NAME
from annotator.desktop.adding_tags import AddingTags
from annotator.desktop.bench import Bench
from annotator.desktop.controller import Controller
from annotator.desktop.key_work import KeyWork
from annotator.desktop.mending import Mending
from annotator.desktop.panels import Panels
from annotator.desktop.ribbon import Ribbon
from annotator.desktop.running_record import RunningRecord
from annotator.desktop.two_versions import TwoVersions

Function = Callable[[], object]
Opened = Callable[[], Bench | None]


def _record(bench: Bench) -> RunningRecord:
    bench.panels.show_record()
    return bench.record


_OWNERS: tuple[tuple[type, Callable[[Bench], object]], ...] = (
    (Controller, lambda bench: bench.controller),
    (KeyWork, lambda bench: KeyWork(bench.controller)),
    (Bench, lambda bench: bench),
    (Panels, lambda bench: bench.panels),
    (Mending, lambda bench: bench.mending),
    (TwoVersions, lambda bench: bench.versions),
    (AddingTags, lambda bench: bench.adding),
    (RunningRecord, _record),
    (Ribbon, lambda bench: bench.ribbon),
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
