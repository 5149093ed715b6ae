"""Load the labelled messages and score a reading against a row."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import yaml

from bot.handlers.context import Memory
from bot.reply import Reply
from bot.request import Request
from bot.understanding import PlotNames, Reading, Understander

HERE = Path(__file__).parent
TODAY = date(2026, 6, 17)
DEMO = PlotNames(
    beds={
        "bed-1": ("Bed 1", "top bed", "top terrace"),
        "bed-2": ("Bed 2", "arch bed", "bean arch"),
        "bed-3": ("Bed 3", "middle bed"),
        "bed-4": ("Bed 4", "shady bed"),
        "wall-bed": ("Wall bed", "fruit bed", "fruit bushes"),
        "tunnel": ("Tunnel", "polytunnel", "tunnel bed"),
        "frame": ("Cold frame", "frame"),
    },
    stores=("freezer", "cellar shelf", "shed", "seed tin"),
)
_ALIKE = {"plant": "count", "seed": "count", "head": "count", "bulb": "count", "clove": "count", "cob": "count", "stick": "count",
          "fruit": "count", "pod": "count", "spear": "count"}
#: Beside something else these need no answer, and hands differ in whether they call them a part: they count for nothing there.
_PLEASANT = ("greeting", "thanks")


@dataclass(frozen=True)
class Row:
    """One labelled message."""

    file: str
    n: int
    say: str
    want: tuple[dict[str, Any], ...]
    kind: str = "natural"
    after: tuple[str, ...] = ()
    today: date = TODAY
    region: str = "GB"
    accept: tuple[str, ...] = ()
    safety: bool = False

    @property
    def sealed(self) -> bool:
        """Tell whether this row belongs to the half that is never tuned on."""
        return hashlib.sha256(" || ".join([*self.after, self.say]).encode()).hexdigest()[0] not in "01234567"

    @property
    def out(self) -> bool:
        """Tell whether the message is none of the bot's business."""
        return self.kind in ("near-out", "far-out")


@dataclass
class Score:
    """What was right in one row; None where the row does not say."""

    intent: bool
    crop: bool | None = None
    bed: bool | None = None
    quantity: bool | None = None
    date: bool | None = None
    got: tuple[str, ...] = ()
    asked: bool = False
    notes: list[str] = field(default_factory=list)


def rows(folder: str = "messages") -> list[Row]:
    """Return every labelled message: of the set that is split in halves, or of the fresh one."""
    found: list[Row] = []
    for path in sorted((HERE / folder).glob("*.yaml")):
        for n, raw in enumerate(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader), 1):
            raw = dict(raw)
            raw["want"] = tuple(raw["want"])
            for key in ("after", "accept"):
                raw[key] = tuple(raw.get(key, ()))
            if "today" in raw:
                raw["today"] = raw["today"] if isinstance(raw["today"], date) else date.fromisoformat(raw["today"])
            found.append(Row(file=path.stem, n=n, **raw))
    return found


def read_row(reader: Understander, row: Row) -> Reading:
    """Read a row's message after its earlier turns, remembering as the conversation does."""
    memory = Memory()
    for turn in row.after:
        reading = reader.read(turn, DEMO, memory, row.today, row.region)
        kept = tuple(r for r in reading.requests if r.intent not in ("why", "thanks", "greeting", "none"))
        reply = reading.asked or Reply("answered")
        memory = Memory((*memory.requests, *kept)[-6:], reply, tuple(c.says for c in reply.choices), None)
    return reader.read(row.say, DEMO, memory, row.today, row.region)


def score(row: Row, reading: Reading) -> Score:
    """Compare a reading with what a row wants."""
    got = [r for r in reading.requests if "left" not in r.flags]  # what is owned up to is not acted on
    names = tuple(r.intent for r in got)
    asked = reading.asked is not None
    wants = list(row.want)
    accepted = set(row.accept)
    if row.out or all(w["intent"] == "none" for w in wants):
        right = asked is False and all(n == "none" for n in names)
        if names and set(names) <= accepted:
            right = True
        return Score(right, got=names, asked=asked)
    if asked and not got:
        offered = reading.asked.choices if reading.asked else ()
        return Score(False, got=("asked", *(c.label for c in offered)), asked=True)
    want_parts = _spread_wants([w for w in wants if w["intent"] not in _PLEASANT] or wants)
    got_parts = _spread_requests([r for r in got if r.intent not in _PLEASANT] or got, want_parts)
    want_names = [w["intent"] for w in want_parts]
    got_names = [g.intent for g in got_parts]
    right = len(want_names) == len(got_names) and all(
        g == w or g in accepted for w, g in zip(want_names, got_names, strict=True))
    result = Score(right and not asked, got=names, asked=asked)
    if len(want_parts) != len(got_parts):
        got_parts = [*got_parts, *[Request("none")] * len(want_parts)][:len(want_parts)]
    for w, g in zip(want_parts, got_parts, strict=True):
        _fold(result, "crop", _crop(w, g), w, g)
        _fold(result, "bed", _bed(w, g), w, g)
        _fold(result, "quantity", _quantity(w, g), w, g)
        _fold(result, "date", _date(w, g, row.today), w, g)
    return result


def _fold(result: Score, name: str, value: bool | None, want: dict[str, Any], got: Request) -> None:
    if value is None:
        return
    old = getattr(result, name)
    setattr(result, name, value if old is None else old and value)
    if not value:
        shown = {"crop": (got.crops, got.crop_choices, got.unknown_crop), "bed": (got.beds, got.unknown_bed),
                 "quantity": [q.as_json() for q in got.quantities], "date": got.when.as_json() if got.when else None}[name]
        key = {"crop": "crops", "bed": "beds"}.get(name, name)
        result.notes.append(f"{name}: want {want.get(key)}, got {shown}")


def _spread_wants(wants: list[dict[str, Any]]) -> list[dict[str, Any]]:
    spread: list[dict[str, Any]] = []
    for want in wants:
        crops = want.get("crops")
        if isinstance(crops, list) and len(crops) > 1 and not want.get("crops_ok") and want["intent"].startswith("log_"):
            spread += [{**want, "crops": [c]} for c in crops]
        else:
            spread.append(want)
    return spread


def _spread_requests(got: list[Request], wants: list[dict[str, Any]]) -> list[Request]:
    spread: list[Request] = []
    for request in got:
        if request.intent.startswith("log_") and len(request.crops) > 1 and not request.group:
            spread += [request.with_(crops=(c,)) for c in request.crops]
        else:
            spread.append(request)
    return spread


def _crop(want: dict[str, Any], got: Request) -> bool | None:
    crops = want.get("crops", [])
    if crops == "any":
        return None
    ok = want.get("crops_ok")
    if ok:
        return bool(set(got.crop_choices) & set(ok)) or (len(got.crops) >= 1 and got.crops[0] in ok)
    if not crops:
        return None if not got.crops and not got.crop_choices else bool(want.get("crop_choices_ok"))
    if sorted(crops) == sorted(got.crops):
        return True
    return len(crops) == 1 and not got.crops and crops[0] in got.crop_choices


def _bed(want: dict[str, Any], got: Request) -> bool | None:
    beds = want.get("beds", [])
    if beds == "any":
        return None
    if not beds:
        return None if not got.beds else False
    return sorted(beds) == sorted(got.beds)


def _quantity(want: dict[str, Any], got: Request) -> bool | None:
    wanted = want.get("quantity")
    if wanted == "any":
        return None
    if wanted is None:
        return None if not got.quantities or not want["intent"].startswith("log_") else False
    value, unit = wanted
    for quantity in got.quantities:
        a, b = _ALIKE.get(quantity.unit, quantity.unit), _ALIKE.get(unit, unit)
        if a == b and abs(quantity.value - value) <= 0.03 * max(abs(value), 0.01):
            return True
    return False


def _date(want: dict[str, Any], got: Request, today: date) -> bool | None:
    wanted = want.get("date")
    if wanted == "any":
        return None
    actual = (got.when.start, got.when.end) if got.when else (today, today)
    if wanted is None:
        return None if got.when is None else actual == (today, today)
    expected = (_day(wanted["from"]), _day(wanted["to"])) if isinstance(wanted, dict) else (_day(wanted),) * 2
    if expected == actual:
        return True
    slack = timedelta(0)
    return abs(expected[0] - actual[0]) <= slack and abs(expected[1] - actual[1]) <= slack


def _day(value: Any) -> date:
    return value if isinstance(value, date) else date.fromisoformat(str(value))
