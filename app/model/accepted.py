"""What a builder has decided to live with."""

from __future__ import annotations

from msgspec import Struct


class Accepted(Struct, frozen=True):
    """A caution the builder has accepted.

    Args:
        rule: name of the rule.
        subjects: placement ids it is about.
        measured: the figure that was accepted [mm], the factor of safety where strength is judged [1]; None where
            the finding has none.
        reason: why, in the builder's words.
        cause: what tells it from other findings of the rule about the same subjects, as ``left`` or ``width``.
        required: what was needed then [mm]; None where it was not noted, or is no length.
    """

    rule: str
    subjects: tuple[str, ...]
    measured: float | None
    reason: str
    cause: str = ""
    required: float | None = None
