"""The roles that new cases get, built in or a department's own; and files of what a training body calls them."""

from collections.abc import Mapping
from pathlib import Path

from annotator.bundled import bundled
from annotator.model.roles import Roles
from annotator.store import vocabularies


def read_terms(path: Path, roles: Roles) -> Mapping[str, str]:
    """What a training body calls the roles, by their codes. Raises StoreError, or InvalidFile with every fault."""
    from annotator.formats.roles import terms_csv

    text = vocabularies.read_text(path)
    with vocabularies.naming(path):
        return terms_csv.loads(text, roles)


def find_roles(*, own: bool = True) -> Roles:
    """The department's own list, which stands in its own folder, or else the built-in one.

    Raises StoreError where it can't be read, InvalidFile with every fault of it.
    """
    from annotator.formats.roles import roles_yaml  # most starts of the program need none

    path = vocabularies.own_folder() / vocabularies.ROLES
    if not own or not path.is_file():
        path = bundled("vocab") / vocabularies.ROLES
    text = vocabularies.read_text(path)
    with vocabularies.naming(path):
        return roles_yaml.loads(text)
