"""Text in tables that spreadsheets open: what one would run as a formula is disarmed, and can be had back."""

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def inert(text: str) -> str:
    """Text that a spreadsheet shows and does not run: an apostrophe in front; `active` takes it off."""
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def active(text: str) -> str:
    """The text that `inert` was given."""
    return text[1:] if text.startswith("'") and text.lstrip("'").startswith(FORMULA_STARTS) else text
