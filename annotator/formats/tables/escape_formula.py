"""Keep text that came from strangers from being run as a formula by a spreadsheet.

A cell that begins with one of these characters is a formula to common spreadsheets; an apostrophe
before it makes it text (OWASP, "CSV Injection").
"""

_ARMED = ("=", "+", "-", "@", "\t", "\r")


def escape_formula(cell: str) -> str:
    """The cell with an apostrophe before it where it would be run."""
    return f"'{cell}" if cell.lstrip("'").startswith(_ARMED) else cell


def unescape_formula(cell: str) -> str:
    """What `escape_formula` was given: the inverse, for tables that are read back."""
    return cell[1:] if cell.startswith("'") and cell.lstrip("'").startswith(_ARMED) else cell
