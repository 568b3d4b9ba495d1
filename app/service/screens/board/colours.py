"""The colours of drawings, for the style sheets of pages that show them."""

from __future__ import annotations

from app.scene import palette


def css_variables(*, dark: bool = False) -> str:
    """Each colour as a variable of a style sheet, for light or dark pages."""
    return palette.css_variables(dark=dark)
