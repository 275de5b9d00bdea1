"""What every entry that a program writes has: its id, its hour, and the shapes of its parts."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from lattermath.vocabulary.events import Payload
from lattermath.vocabulary.plot import Plot

Name = Annotated[str, Field(min_length=1, max_length=120)]
Words = Annotated[str, Field(max_length=2000)]
Number = Annotated[int, Field(ge=1, le=100_000)]
Count = Annotated[int, Field(ge=0, le=100_000)]
Counts = Annotated[list[Count], Field(min_length=1, max_length=500)]
Amount = Annotated[float, Field(gt=0, le=100_000)]
# RFC 9562: a time, then the version, 7, and the variant
UUID7 = r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"
Id = Annotated[str, Field(pattern=UUID7, description="A UUIDv7 of your own: arrives once.")]
HOUR = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(:[0-9]{2})?(Z|[+-][0-9]{2}:[0-9]{2})?$"
At = Annotated[
    str | None,
    Field(
        pattern=HOUR,
        description='When it happened: "2016-07-29T19:05" by the plot\'s clock, or with an offset. '
        "Now when left out.",
    ),
]


class Brought(BaseModel):
    """What every entry brings: its own id, its hour, and the task that it settles."""

    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)
    id: Id
    at: At = None


class Entry(Brought):
    """One thing done or seen."""

    task: Annotated[str, Field(max_length=60)] = Field(
        "", description="Id of a task of the plan that this settles as written; it is ticked too."
    )

    @property
    def made_up(self) -> bool:
        """Is its name made of crop and day?"""
        return False

    def payload(self, plot: Plot) -> Payload:
        """The entry as the journal keeps it; InputError names what the plot has not."""
        raise NotImplementedError

    def settled(self, plot: Plot, _folder: Path, _at: datetime | None) -> Payload:
        """The entry as the journal keeps it; the same where it is sent again."""
        return self.payload(plot)
