"""How tested times and pressures are said."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bot.handlers.context import Context
from bot.preserving.canning import JAR_LITRES, Row

_PSI_TO_BAR = 0.0689476  # NIST Special Publication 811


def psi_said(psi: float, ctx: Context) -> str:
    """Say a gauge pressure; bar beside it in metric kitchens, never rounded down."""
    bar = math.ceil(psi * _PSI_TO_BAR * 100 - 1e-9) / 100
    return f"{psi:g} psi" if ctx.say.us else f"{psi:g} psi ({bar:.2f} bar)"


def time_lines(rows: Sequence[Row], ctx: Context) -> list[str]:
    """Say tested rows, one line for each method and pressure choice: 'Pints 20, quarts 25 minutes …'."""
    lines: list[str] = []
    groups: dict[tuple[str, str | None, tuple[float, ...]], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.method, str(row.psi), ()), []).append(row)
    for (method, _psi, _), group in groups.items():
        packs = list(dict.fromkeys(r.pack for r in group))
        by_pack = {p: {r.jar: r.minutes for r in group if r.pack == p} for p in packs}
        same = all(v == by_pack[packs[0]] for v in by_pack.values())
        psi = group[0].psi
        tail = f" at {psi_said(psi, ctx)}" if psi is not None else ""
        place = {
            "boiling-water": "Boiling water",
            "pressure-dial": "Dial gauge",
            "pressure-weighted": "Weighted gauge",
        }[method]
        said = [f"{'' if same else p + ' pack '}{_jars(by_pack[p], ctx)}" for p in (packs[:1] if same else packs)]
        lines.append(f"{place}{tail}: {'; '.join(said)}.")
    return lines


def jars_said(jars: Sequence[str], ctx: Context) -> str:
    """Say jar sizes: by name in American kitchens, else the largest in millilitres, as a pint is another elsewhere."""
    if ctx.say.us:
        return " and ".join(f"{jar}s" for jar in jars)
    return f"jars up to {math.floor(max(JAR_LITRES[jar] for jar in jars) * 1000)} ml"


def _jars(minutes: dict[str, float], ctx: Context) -> str:
    by_time: dict[float, list[str]] = {}
    for jar, value in minutes.items():
        by_time.setdefault(value, []).append(jar)
    return ", ".join(f"{jars_said(jars, ctx)} {value:g} min" for value, jars in by_time.items())
