"""Field types of the design file: lengths in mm, names, words, and the base of every record.

A command waits until pydantic has put every field of every record together. So a field's type says at once what is
asked of it (:class:`Between`), and modules of records do without ``from __future__ import annotations``, after which
each of their types would be read twice.
"""

from typing import TYPE_CHECKING, Annotated, Any, Final

from msgspec import Struct
from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    StringConstraints,
    ValidationInfo,
)
from pydantic_core import CoreSchema, core_schema

from app.model import limits
from app.units import LONGEST

if TYPE_CHECKING:
    from app.model.limits import DesignLimit

NEW: Final = "new"
"""Key of the validation context that asks for limits to be kept: set for what is new, not for what is stored."""


class TooMuchError(ValueError):
    """A text or list beyond its limit.

    Args:
        limit: the limit.
        got: how much there is.
    """

    def __init__(self, limit: "DesignLimit", got: int) -> None:
        super().__init__(limit.said(got))
        self.limit, self.got = limit, got


class UpTo(Struct, frozen=True):
    """Marks a text or list that has a limit. It is kept where the context says :data:`NEW`, and told in the schema."""

    limit: "DesignLimit"

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_before_validator_function(self._checked, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        said = handler(schema)
        return {**said, "maxLength" if said.get("type") == "string" else "maxItems": self.limit.most}

    def _checked(self, value: object, info: ValidationInfo) -> object:
        asked = info.context is not None and info.context.get(NEW, False)
        if asked and isinstance(value, str | list | tuple) and len(value) > self.limit.most:
            raise TooMuchError(self.limit, len(value))
        return value


class Between(Struct, frozen=True):
    """Marks a finite number from ``low``, or ``above`` it, to ``high``; a text that looks like one is refused."""

    low: float
    high: float
    above: bool = False

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        ge, gt = (None, self.low) if self.above else (self.low, None)
        return core_schema.float_schema(ge=ge, gt=gt, le=self.high, allow_inf_nan=False, strict=True)


Coordinate = Annotated[float, Between(-LONGEST, LONGEST)]
Length = Annotated[float, Between(0, LONGEST)]
Size = Annotated[float, Between(0, LONGEST, above=True)]
Angle = Annotated[float, Between(-360, 360)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9._-]{0,63}$")]
Index = Annotated[int, Field(strict=True, ge=-10_000, le=10_000)]
Flag = Annotated[bool, Field(strict=True)]
Words = Annotated[str, StringConstraints(pattern=r"^[^\x00-\x1f\x7f]*$"), UpTo(limits.WORDS)]
Label = Annotated[str, StringConstraints(pattern=r"^[^\x00-\x1f\x7f]*$"), UpTo(limits.LABEL)]
Notes = Annotated[str, UpTo(limits.NOTES)]


class Record(BaseModel):
    """Base of everything in the file: frozen, unknown fields refused.

    Put together when it is first asked for (``defer_build``): most are only ever read as pieces of a whole design. So
    what stands for a field that is left out is made by ``model_construct``, which asks for nothing.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, strict=False, defer_build=True, ser_json_inf_nan="null")
