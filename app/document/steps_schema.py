"""Steps of building in the design file: only what a plan maker made of them; the others follow from the design."""

from typing import Annotated

from pydantic import StringConstraints

from app.catalogue.fields import Index, Record, UpTo, Words
from app.model import limits

StepKey = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9._-]{0,63}(/[a-z0-9][a-z0-9._-]{0,63}){0,2}$")]
"""What a step is known by: its work, then the board and the part it is about, as ``mount/deck/button-28-nut``."""

OwnKey = Annotated[str, StringConstraints(pattern=r"^own/[1-9][0-9]{0,4}$")]
"""The same of an added step."""

StepText = Annotated[str, StringConstraints(pattern=r"^[^\x00-\x09\x0b-\x1f\x7f]*$"), UpTo(limits.STEP_TEXT)]
"""Lines of words."""


class StepWordsEntry(Record):
    """Own words of a step; ``was`` is its title when it was reworded."""

    key: StepKey
    title: Words
    text: StepText = ""
    was: Words = ""


class AddedStepEntry(Record):
    """A step that does not follow from the design."""

    key: OwnKey
    title: Words
    text: StepText = ""


class StepsEntry(Record):
    """Own words, added and hidden steps, and an order, all by keys that stay as they are while the design changes.

    Args:
        worded: own words.
        added: added steps.
        hidden: keys of hidden ones.
        order: keys in their order; empty for the usual one.
        last: the highest number an added step was ever given; none is given again.
    """

    worded: Annotated[tuple[StepWordsEntry, ...], UpTo(limits.WORDED_STEPS)] = ()
    added: Annotated[tuple[AddedStepEntry, ...], UpTo(limits.ADDED_STEPS)] = ()
    hidden: Annotated[tuple[StepKey, ...], UpTo(limits.BUILD_STEPS)] = ()
    order: Annotated[tuple[StepKey, ...], UpTo(limits.BUILD_STEPS)] = ()
    last: Index = 0
