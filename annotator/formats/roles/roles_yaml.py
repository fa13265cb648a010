"""A list of roles as YAML, as a department writes its own."""

from collections.abc import Mapping

from annotator.errors import InvalidFile
from annotator.formats.roles.form import WHAT, from_plain
from annotator.formats.vocabulary.yaml_text import line_of, plain_of
from annotator.model.roles import Roles


def loads(text: str) -> Roles:
    """The roles that a YAML text lists under `roles:`. Raises InvalidFile with every fault and its line."""
    plain, lines = plain_of(text, WHAT)
    if not isinstance(plain, Mapping) or list(plain) != ["roles"]:
        raise InvalidFile(WHAT, ["it begins with “roles:”, and below that lists them, each with a dash before it"])

    return from_plain(plain["roles"], line_of(lines))
