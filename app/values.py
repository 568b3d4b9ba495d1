"""A value with some of its fields changed.

Values are frozen structs of msgspec: made, compared and declared several times as fast as data classes. Its ``replace``
takes any name as far as types go; that of data classes is the same function, and mypy knows the fields by name.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import replace
else:
    from msgspec.structs import replace

__all__ = ["replace"]
