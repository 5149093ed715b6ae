"""Say a model's complaint so that someone who mends the file for the first time knows what to write."""

from __future__ import annotations

import difflib
import types
import typing
from typing import Any

from pydantic import BaseModel


def plain_message(error: dict[str, Any], shape: Any) -> str:
    """Return one plain sentence for one pydantic error of `shape`."""
    kind, got = error["type"], error.get("input")
    shown = (
        ""
        if isinstance(got, dict | list | BaseModel) or kind in ("missing", "extra_forbidden")
        else f" (found {got!r})"
    )
    context = error.get("ctx", {})
    if kind == "missing":
        return "is missing here: every such block needs it"
    if kind == "extra_forbidden":
        return _unknown_field(error["loc"], shape)
    if kind == "string_type" and isinstance(got, bool | int | float):
        return f"must be text: put it in quotes, '{_as_yaml(got)}'"
    if kind == "literal_error":
        return f"must be one of {context.get('expected', '')}{shown}"
    if kind == "string_pattern_mismatch":
        return f"must be an id: small letters, figures and dashes only{shown}"
    if kind in ("too_short", "too_long", "tuple_type") and "tuple" in str(model_at(error["loc"], shape)):
        return "must be two figures, low then high, such as [10, 15]; write one figure twice"
    if kind == "too_short":
        return f"needs at least {context.get('min_length', 1)} entry"
    if kind == "list_type":
        return f"must be a list, such as [one, two]{shown}"
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type"):
        return f"must be a number{shown}"
    if kind == "bool_parsing":
        return f"must be true or false{shown}"
    if kind == "value_error":
        return str(error["msg"]).removeprefix("Value error, ")
    return str(error["msg"]) + shown


def _as_yaml(value: bool | int | float) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _unknown_field(location: tuple[int | str, ...], shape: Any) -> str:
    model = model_at(location[:-1], shape)
    allowed = sorted(model.model_fields) if isinstance(model, type) and issubclass(model, BaseModel) else []
    near = difflib.get_close_matches(str(location[-1]), allowed, n=1)
    if near:
        return f"is no field here: did you mean {near[0]!r}?"
    return f"is no field here; the fields are {', '.join(allowed)}" if allowed else "is no field here"


def model_at(location: tuple[int | str, ...], shape: Any) -> Any:
    """Walk type annotations along an error's location as far as they go."""
    here = _bare(shape)
    for part in location:
        if isinstance(here, type) and issubclass(here, BaseModel):
            if part not in here.model_fields:
                return here
            here = _bare(here.model_fields[str(part)].annotation)
            continue
        arguments = typing.get_args(here)
        origin = typing.get_origin(here)
        if origin in (list, tuple, set) and arguments:
            here = _bare(arguments[0])
        elif origin is dict and len(arguments) == 2:
            here = _bare(arguments[1])
        else:
            return here
    return here


def _bare(annotation: Any) -> Any:
    """Strip `Annotated` and `| None` from an annotation."""
    while True:
        if typing.get_origin(annotation) is typing.Annotated:
            annotation = typing.get_args(annotation)[0]
        elif typing.get_origin(annotation) in (typing.Union, types.UnionType):
            options = [a for a in typing.get_args(annotation) if a is not type(None)]
            if len(options) != 1:
                return annotation
            annotation = options[0]
        else:
            return annotation
