"""Sizes of files in words."""


def size_in_words(size: int) -> str:
    """A number of bytes in the unit that fits: `17 B`, `1.5 kB`, `16.8 MB`, `2.35 GB`; a kB is 1,000 bytes."""
    value = float(size)
    for unit in ("B", "kB", "MB", "GB"):
        if value < 999.5:
            return f"{value:.3g} {unit}"
        value /= 1_000
    return f"{value:.3g} TB" if value < 999.5 else f"{value:,.0f} TB"
