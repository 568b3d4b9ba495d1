"""Field types of the design file: lengths in mm, names, words, and the base of every record."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

_LONGEST = 100_000.0
Coordinate = Annotated[float, Field(ge=-_LONGEST, le=_LONGEST, allow_inf_nan=False, strict=True)]
Length = Annotated[float, Field(ge=0, le=_LONGEST, allow_inf_nan=False, strict=True)]
Size = Annotated[float, Field(gt=0, le=_LONGEST, allow_inf_nan=False, strict=True)]
Angle = Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False, strict=True)]
Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9._-]{0,63}$")]
Flag = Annotated[bool, Field(strict=True)]
Words = Annotated[str, StringConstraints(max_length=200, pattern=r"^[^\x00-\x1f\x7f]*$")]
Label = Annotated[str, StringConstraints(max_length=12, pattern=r"^[^\x00-\x1f\x7f]*$")]
Notes = Annotated[str, StringConstraints(max_length=20_000)]


class Record(BaseModel):
    """Base of everything in the file: frozen, unknown fields refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=False, ser_json_inf_nan="null")
