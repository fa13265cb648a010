"""The kinds of operation of a vocabulary, put into a field to choose one of them or none."""

from collections.abc import Iterable

from annotator.desktop.widgets.controls import ChoiceBox
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Kind, label_in

ANY = "Any kind of operation"


def offer_kinds(box: ChoiceBox, kinds: Iterable[Kind]) -> None:
    """Fill the field anew, each line with the name of a kind as its data; the first is for none."""
    box.clear()
    box.addItem(ANY, "")
    for kind in kinds:
        box.addItem(label_in(kind.label, DEFAULT_LANGUAGE) or kind.name, kind.name)
