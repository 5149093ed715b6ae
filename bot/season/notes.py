"""What the normals rest on, said plainly."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bot.season.season import Season


def notes_on(season: Season) -> tuple[str, ...]:
    """Say which stations were used, how far they are and how well they agree, and what else moved the figures."""
    normals, number = season.normals, season.climate.number
    near = sorted(normals.neighbours, key=lambda n: -n.share)[:3]
    named = ", ".join(f"{n.station.name} ({round(n.km)} km, {round(n.station.elevation_m)} m)" for n in near)
    notes = [f"Normals from {len(normals.neighbours)} weather stations, most from {named}, "
             f"moved to {round(normals.elevation_m)} m above the sea."]
    if normals.measured:
        notes.append(f"Mixed with the figures of {normals.measured.years} for the spot itself from "
                     f"{normals.measured.source} ({round(normals.measured_share * 100)} %).")
    elif normals.nearest_km > number("normals.far_km"):
        notes.append(f"The nearest station is {round(normals.nearest_km)} km away, so take dates as a guide only.")
    heights = [n.higher_m for n in normals.neighbours]
    if min(abs(h) for h in heights) > number("normals.far_height_m"):
        way = "lower" if max(heights) < 0 else "higher" if min(heights) > 0 else "lower or higher"
        notes.append(f"All of them lie at least {round(min(abs(h) for h in heights))} m {way} than the plot.")
    if normals.doubt_c > 1.0:
        notes.append(f"They disagree by about {normals.doubt_c:.1f} °C, which is worth about "
                     f"{round(normals.doubt_c * 5)} days on a frost date.")
    if normals.height_guessed:
        notes.append(f"The height of the plot is not known; {round(normals.elevation_m)} m is taken from the stations.")
    if season.own:
        notes.append("Moved to fit the frost dates you gave.")
    if season.offset_c:
        notes.append(f"Nights taken {abs(season.offset_c):.1f} °C {'colder' if season.offset_c < 0 else 'warmer'} "
                     "than the air round about, as you set.")
    if season.forecast:
        notes.append(f"Forecast for {len(season.forecast.days)} days" +
                     (f" from {season.forecast.source}." if season.forecast.source else "."))
    return tuple(notes)
