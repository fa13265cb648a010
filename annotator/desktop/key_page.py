"""The keys on one page for printing, made from the table of actions and the case's vocabulary."""

from collections.abc import Iterable
from html import escape

from annotator.desktop.actions import ACTIONS, MENUS, Keys
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Vocabulary, label_in

_PAGE = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Keys of the bench</title>
<style>
body {{ font: 10.5pt/1.35 sans-serif; margin: 12mm; columns: 3; column-gap: 10mm; }}
h1 {{ font-size: 15pt; column-span: all; margin: 0 0 4mm; }}
h2 {{ font-size: 11pt; margin: 3mm 0 1mm; break-after: avoid; }}
dl {{ display: grid; grid-template-columns: 5.5em 1fr; margin: 0; }} dt, dd {{ margin: 0; break-inside: avoid; }}
kbd {{ border: 1px solid #888; border-radius: 3px; padding: 0 .35em; font: inherit; white-space: nowrap; }}
</style>
<h1>Keys of the bench</h1>
{body}
</html>
"""


def dumps(keys: Keys, vocabulary: Vocabulary | None) -> str:
    """The page as HTML; everything that comes from a vocabulary is escaped."""
    parts = [_section(name, _commands(keys, name)) for name in MENUS]
    for facet in vocabulary.facets if vocabulary else ():
        rows = [
            ([keys.concepts[concept.iri]], concept.label())
            for concept in (vocabulary.in_facet(facet.name) if vocabulary else ())
            if concept.iri in keys.concepts
        ]
        parts.append(_section(label_in(facet.label, DEFAULT_LANGUAGE), rows))
    return _PAGE.format(body="\n".join(filter(None, parts)))


def _commands(keys: Keys, menu: str) -> list[tuple[list[str], str]]:
    return [
        (list(keys.commands[action.does]), action.text.rstrip("…"))
        for action in ACTIONS
        if action.menu == menu and keys.commands[action.does]
    ]


def _caps(keys: Iterable[str]) -> str:
    return " ".join(f"<kbd>{escape(key)}</kbd>" for key in keys)


def _section(heading: str, rows: Iterable[tuple[list[str], str]]) -> str:
    lines = [f"<dt>{_caps(keys)}</dt><dd>{escape(text)}</dd>" for keys, text in rows]
    return f"<h2>{escape(heading)}</h2>\n<dl>\n" + "\n".join(lines) + "\n</dl>" if lines else ""
