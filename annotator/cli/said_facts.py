"""The options with which facts are said of a case on the command line."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from annotator.model.facts import Fact, KnownFacts

_Function = TypeVar("_Function", bound=Callable[..., Any])

names_nobody = click.option(
    "--names-nobody", is_flag=True, help="The words of a fact name nobody, though they look as if they did."
)


def said_facts(option: str, says: str) -> Callable[[_Function], _Function]:
    """An option NAME=VALUE that may be repeated; the command gets pairs of texts."""
    return click.option(option, multiple=True, metavar="NAME=VALUE", callback=_pairs, help=says)


def _pairs(_context: click.Context, _option: click.Parameter, said: Sequence[str]) -> tuple[tuple[str, str], ...]:
    for one in said:
        if "=" not in one:
            raise click.BadParameter(f"“{one}” is not NAME=VALUE, such as gauge=25G")
    return tuple((name.strip(), value.strip()) for name, _, value in (one.partition("=") for one in said))


def meant(said: Sequence[tuple[str, str]], *, names_nobody: bool) -> "tuple[KnownFacts, list[Fact]]":
    """The list of facts, and what the pairs say by it.

    Raises UnknownName and InvalidEdit for what they can't say, and what `find_facts` raises.
    """
    from annotator.errors import InvalidEdit
    from annotator.model.facts import FactKind
    from annotator.model.identity import looks_like_identity
    from annotator.store.facts import find_facts

    known = find_facts()
    facts: list[Fact] = []
    for name, words in said:
        try:
            facts.append(known.meant(name, words, names_nobody=names_nobody))
        except InvalidEdit as error:
            if known.named(name).kind is not FactKind.TEXT or not looks_like_identity(words):
                raise
            raise InvalidEdit(f"{error}. Leave it out, or add --names-nobody if it names nobody") from error
    return known, facts
