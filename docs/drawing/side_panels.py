"""The scenes of the side panels: a line that is typed, several lines chosen, a place on the retina, panels folded."""

from operator import attrgetter

from annotator.desktop.editing.times import tags_at
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.place import parse_place
from docs.drawing.stage import Stage, until


def tag_selected(stage: Stage) -> None:
    stage.open_sample(0.4)
    controller = stage.window.controller
    if controller is not None:
        step = controller.case.vocabulary.match("fluid-air exchange").iri
        with until(stage.window.player.shown):
            controller.go_to_tag(next(tag.id for tag in controller.case.tags if tag.concept == step))


def record_editing(stage: Stage) -> None:
    tag_selected(stage)
    stage.window.activateWindow()
    stage.window.commands.actions["edit_note"].trigger()


def several_selected(stage: Stage) -> None:
    stage.open_sample()
    controller = stage.window.controller
    if controller is not None:
        names = [controller.case.vocabulary.match(name).iri for name in ("forceps", "cutter 25 g", "lift and shave")]
        shown = sorted(tags_at(controller.case, controller.at), key=attrgetter("start"))
        ids = [tag.id for tag in shown if tag.concept in names]
        controller.select(ids[-1], ids)


def place(stage: Stage) -> None:
    """A left eye, in the middle of being told by keys."""
    _say_place(stage)
    stage.window.commands.actions["go_to_place"].trigger()


def place_large(stage: Stage) -> None:
    _say_place(stage)
    stage.window.commands.actions["enlarge_chart"].trigger()


def narrow(stage: Stage) -> None:
    """A long title in the narrowest window."""
    tag_selected(stage)
    controller = stage.window.controller
    if controller is not None:
        controller.rename("Model eye: detachment with proliferative vitreoretinopathy, second operation of the course")


def folded(stage: Stage) -> None:
    stage.open_sample()
    for does in ("fold_sheet", "fold_side"):
        stage.window.commands.actions[does].trigger()


def _say_place(stage: Stage) -> None:
    tag_selected(stage)
    controller = stage.window.controller
    if controller is not None:
        controller.do(lambda case: edits.set_eye(case, Eye.LEFT))
        controller.describe_selected(place=parse_place("4-6 mid-periphery; 5 posterior"))
    stage.window.activateWindow()
