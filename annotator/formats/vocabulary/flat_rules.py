"""The rules of a concept beside its other keys, for forms that have no values within values: tables and triples."""

from collections.abc import Mapping
from typing import Any, Final

from annotator.formats.faults import Path

_BESIDE: Final = {
    ("usualTime", "least"): "usualTimeLeast",
    ("usualTime", "most"): "usualTimeMost",
    ("usualPlace",): "usualPlace",
    ("needsBefore",): "needsBefore",
    ("neverWith",): "neverWith",
    ("expectedWith",): "expectedWith",
    ("changesPerformer",): "changesPerformer",
}
"""Where a rule stands within `rules` of the plain form, and what it is called beside the other keys."""


def flattened(concept: Mapping[str, Any]) -> dict[str, Any]:
    """A concept of the plain form without `rules`, and with each rule under a key of its own."""
    flat = {key: value for key, value in concept.items() if key != "rules"}
    for path, key in _BESIDE.items():
        value: Any = concept.get("rules")
        for step in path:
            value = value.get(step) if isinstance(value, Mapping) else None
        if value is not None:
            flat[key] = value
    return flat


def nested(flat: Mapping[str, Any]) -> dict[str, Any]:
    """What `flattened` was given, whatever the values are."""
    concept = dict(flat)
    rules: dict[str, Any] = {}
    for path, key in _BESIDE.items():
        value = concept.pop(key, None)
        if value is not None:
            within = rules if len(path) == 1 else rules.setdefault(path[0], {})
            within[path[-1]] = value
    return concept | {"rules": rules} if rules else concept


def flat_path(path: Path) -> Path:
    """Where in the flat form that stands which the plain form has at `path`."""
    if path[:1] != ("concepts",) or path[2:3] != ("rules",):
        return path
    for within, key in _BESIDE.items():
        if path[3 : 3 + len(within)] == within:
            return (*path[:2], key, *path[3 + len(within) :])
    return path
