"""Says which eye it is, and asks about the places that depend on it before they mean something else."""

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.widgets.question import ask
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.retina import depends_on_eye


def change_eye(controller: Controller, eye: Eye | None, window: QWidget, show_again: Callable[[], object]) -> None:
    """One change that can be undone. `show_again` is called where the user thinks better of it."""
    case = controller.case
    if eye is case.eye:
        return
    count = sum(depends_on_eye(tag.place) for tag in case.tags)
    if eye is None or case.eye is None or not count:
        _set(controller, eye)
        return
    box = ask(
        window,
        f"The places of {count} tag{'s' * (count > 1)} are clock hours of a {case.eye} eye. What of them?",
        "What is nasal at 3 o’clock in a right eye is temporal there in a left one.",
        [
            ("Keep clock hours", partial(_set, controller, eye)),
            ("Mirror them", partial(_set, controller, eye, mirrored=True)),
        ],
    )
    box.finished.connect(lambda _answer: show_again())


def _set(controller: Controller, eye: Eye | None, *, mirrored: bool = False) -> None:
    controller.do(lambda case: edits.set_eye(case, eye, mirrored=mirrored))
