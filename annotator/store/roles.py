"""The roles that new cases get: the list that travels with the program, or a department's own."""

from annotator.bundled import bundled
from annotator.model.roles import Roles
from annotator.store import vocabularies


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
