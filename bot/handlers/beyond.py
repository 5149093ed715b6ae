"""Places beyond the reach of the weather stations: what is lacking there, said plainly, and what can be done about it."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.reply import Reply
from bot.request import Request
from bot.season import Season

#: Answers that are nothing but the normals of the place, and those that only lean on them.
_OF_NORMALS = frozenset(("climate", "fits_bed", "frost_dates", "hardy", "plan", "sow_now", "when_harvest", "when_sow", "why_not"))
_LEANING = frozenset(("blight_risk", "frost_tonight", "jobs", "protect", "summary", "water"))


def beyond_reach(season: Season) -> tuple[str, ...]:
    """Return what is to be said where no station is near enough to tell the weather; nothing where one is."""
    if season.within_reach:
        return ()
    km = round(season.normals.nearest_km / 10) * 10
    return (
        f"My nearest weather station is {km} km away, so I can't tell your frosts or your days for sowing and picking: they would be guesses.",
        "Whoever runs me can turn on the weather service (forecast: {source: service} in the settings); then I go by the figures of your own spot.",
        "Spacing, depth, feeding, pests, keeping and the record of your plot I can help with all the same.",
    )


def without_stations(request: Request, ctx: Context) -> Reply | None:
    """Say what is lacking in place of an answer that would be guessed; None where the answer can be given."""
    if ctx.season is None or request.intent not in _OF_NORMALS or request.temperature_c is not None:
        return None
    said = beyond_reach(ctx.season)
    return Reply(said[0], lines=said[1:], data={request.intent: {"nearest_km": round(ctx.season.normals.nearest_km)}}) if said else None


def with_doubt(reply: Reply, request: Request, ctx: Context) -> Reply:
    """Add to an answer that leans on the weather of the year that nothing is known of it here."""
    if ctx.season is None or request.intent not in _LEANING or ctx.season.forecast is not None or ctx.season.within_reach:
        return reply
    return reply.with_(lines=(*reply.lines, "No weather station is near enough, so take what hangs on the season here as a guess."))
