"""The base of every fact model: strict shapes, and blocks that carry their sources."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field


def _ordered(pair: tuple[float, float]) -> tuple[float, float]:
    if pair[0] > pair[1]:
        raise ValueError(f"the lower figure comes first: [{pair[0]}, {pair[1]}]")
    return pair


#: [low, high], low first; one figure is written [x, x].
Span = Annotated[tuple[float, float], AfterValidator(_ordered)]
Id = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$")]
SourceId = Annotated[str, Field(min_length=2)]


class Shape(BaseModel):
    """A frozen model that refuses unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Sourced(Shape):
    """A block or row of figures with the ids of the publications it came from.

    `memory` names the fields of this block whose figures were recalled and not read;
    `practice` those that are common practice with no source. All others were read in `source`.
    """

    source: list[SourceId] = Field(min_length=1)
    memory: list[str] = Field(default_factory=list)
    practice: list[str] = Field(default_factory=list)
    note: str | None = None


class Source(Shape):
    """One publication. `status` says whether it was read, recalled, worked out, or is common practice."""

    id: SourceId
    title: str
    publisher: str | None = None
    year: str | None = None
    url: str | None = None
    status: Literal["read", "memory", "practice", "computed"]
    note: str | None = None
