"""How numbers, dates and names are said: metric or US units, British or American words.

Every figure a handler shows goes through here, so that one setting changes them all.
Factors: NIST Special Publication 811 (1 in = 2.54 cm, 1 lb = 0.45359237 kg, 1 US qt = 0.946352946 l).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from bot.american import local_names

if TYPE_CHECKING:
    from bot.facts import Facts

CM_PER_INCH = 2.54
KG_PER_LB = 0.45359237
L_PER_US_QUART = 0.946352946
M_PER_FOOT = 0.3048
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December")
_FRACTIONS = {0.25: "¼", 0.5: "½", 0.75: "¾", 0.125: "⅛", 0.375: "⅜", 0.625: "⅝", 0.875: "⅞"}
_METRIC = re.compile(r"(-?\d+(?:\.\d+)?)(?:\s*(?:-|–|to|x)\s*(\d+(?:\.\d+)?))?\s*(°C|cm|mm|kg|g|m)(?![\w²³/])(?! per)")
_BOTH_SCALES = re.compile(r"(-?[\d.]+(?:(?:-|–| to )-?[\d.]+)? °C) \((-?[\d.]+(?:(?:-|–| to )-?[\d.]+)? °F)\)")
_IRREGULAR = {"leaf": "leaves", "loaf": "loaves", "bunch": "bunches", "box": "boxes", "punnet": "punnets",
              "batch": "batches", "potato": "potatoes", "tomato": "tomatoes", "foot": "feet", "inch": "inches"}


@dataclass(frozen=True)
class Wording:
    """Say figures for one plot. `units` is metric or us; `words` is gb or us."""

    units: str = "metric"
    words: str = "gb"
    facts: Facts | None = None
    country: str | None = None  # one with crop names of its own: NZ, AU

    @property
    def us(self) -> bool:
        """Tell whether figures are in US units."""
        return self.units == "us"

    def length(self, low_cm: float, high_cm: float | None = None) -> str:
        """Say a length or range in cm or inches; feet or metres when long."""
        high = low_cm if high_cm is None else high_cm
        if self.us:
            if low_cm >= 121:
                return _range(low_cm / 100 / M_PER_FOOT, high / 100 / M_PER_FOOT, 0.5) + " ft"
            return _range(low_cm / CM_PER_INCH, high / CM_PER_INCH, 0.125 if high < 0.6 else 0.25 if high < 2.5 else 0.5 if high < 25 else 1) + " in"
        if low_cm >= 200:
            return _range(low_cm / 100, high / 100, 0.1) + " m"
        if 0 < high < 0.5:
            return _range(low_cm * 10, high * 10, 1) + " mm"
        return _range(low_cm, high, 0.25 if high < 1 else 0.5 if high < 10 else 1) + " cm"

    def lengths(self, *spans: tuple[float, float]) -> tuple[str, ...]:
        """Say several ranges of cm so that all are in one unit: in metres or feet when one of them is long."""
        long = any(self.length(*span).endswith((" m", " ft")) for span in spans)
        if not long:
            return tuple(self.length(*span) for span in spans)
        unit, size, step = (" ft", M_PER_FOOT * 100, 0.5) if self.us else (" m", 100.0, 0.1)
        return tuple(_range(low / size, high / size, step) + unit for low, high in spans)

    def mass(self, kg: float) -> str:
        """Say a mass in g or kg, or oz or lb."""
        if self.us:
            lb = kg / KG_PER_LB
            return f"{number(lb * 16, 0.5 if lb >= 0.06 else 0.05)} oz" if lb < 1 else f"{number(lb, 0.1 if lb < 44 else 1)} lb"
        return (f"{number(kg * 1000, 5 if kg >= 0.02 else 0.5)} g" if kg < 1
                else f"{number(kg, 0.1 if kg < 20 else 1)} kg")

    def volume(self, litres: float) -> str:
        """Say a volume in ml or litres, or cups, quarts or gallons."""
        if self.us:
            quarts = litres / L_PER_US_QUART
            if quarts < 1:
                return f"{number(quarts * 4, 0.25)} cup{'s' if quarts * 4 > 1 else ''}"
            return f"{number(quarts, 0.5)} qt" if quarts < 8 else f"{number(quarts / 4, 0.5)} gal"
        return f"{number(litres * 1000, 5)} ml" if litres < 1 else f"{number(litres, 0.1 if litres < 10 else 1)} l"

    def produce(self, litres: float) -> str:
        """Say a volume of produce: litres, or quarts however many, as punnets and jars are counted."""
        quarts = litres / L_PER_US_QUART
        return f"{number(quarts, 0.5)} qt" if self.us and quarts >= 1 else self.volume(litres)

    def bulk(self, litres: float) -> str:
        """Say a volume of compost, straw or soil: litres or cubic feet.

        >>> Wording(units="us").bulk(100), Wording().bulk(100)
        ('3½ cu ft', '100 l')
        """
        return f"{number(max(0.5, litres / 1000 / M_PER_FOOT**3), 0.5)} cu ft" if self.us else self.volume(litres)

    def area(self, m2: float) -> str:
        """Say an area in m² or sq ft."""
        return f"{number(m2 / M_PER_FOOT**2, 1)} sq ft" if self.us else f"{number(m2, 0.1)} m²"

    def bed_size(self, length_m: float, width_m: float) -> str:
        """Say a bed size, shorter side first."""
        a, b = sorted((length_m, width_m))
        if self.us:
            return f"{number(a / M_PER_FOOT, 0.5)} x {number(b / M_PER_FOOT, 0.5)} ft"
        return f"{number(a, 0.1)} x {number(b, 0.1)} m"

    @property
    def bed_example(self) -> str:
        """Return a bed size as an example to copy."""
        return "4 x 12 ft" if self.us else "1.2 x 4 m"

    @property
    def picked_example(self) -> str:
        """Return a picking as an example to copy."""
        return f"picked {'4 lb' if self.us else '2 kg'} of beans"

    @property
    def bean(self) -> str:
        """Return the bean of examples: runner beans where they are everybody's, green beans elsewhere."""
        return self.crop("runner-bean" if self.words == "gb" and self.country is None else "french-bean")

    def temp(self, celsius: float, high: float | None = None) -> str:
        """Say a temperature or range."""
        top = celsius if high is None else high
        if self.us:
            return _range(celsius * 1.8 + 32, top * 1.8 + 32, 1, joiner=" to ") + " °F"
        return _range(celsius, top, 0.5, joiner=" to ") + " °C"

    def warmth(self, low: float, high: float | None = None) -> str:
        """Say a temperature difference."""
        top = low if high is None else high
        return _range(low * 1.8, top * 1.8, 1) + " °F" if self.us else _range(low, top, 0.5) + " °C"

    def distance(self, metres: float) -> str:
        """Say how far off something is: rounded metres or kilometres, feet or parts of a mile."""
        if self.us:
            miles = metres / 1609.344
            return (f"{number(miles, 0.25)} mile{'s' if miles > 1.1 else ''}" if miles >= 0.2
                    else f"{number(metres / M_PER_FOOT, 10 if metres > 10 else 1)} ft")
        return (f"{number(metres / 1000, 0.1)} km" if metres >= 1000
                else f"{number(metres, 10 if metres > 100 else 1)} m")

    def height(self, metres: float) -> str:
        """Say a height above the sea."""
        return f"{round(metres / M_PER_FOOT / 10) * 10:,} ft" if self.us else f"{round(metres):,} m"

    def day(self, value: date, today: date | None = None) -> str:
        """Say a date: 'today', 'tomorrow', 'yesterday', '3 March', with the year when it is not this one."""
        if today is not None:
            gap = (value - today).days
            if gap in (-1, 0, 1):
                return {-1: "yesterday", 0: "today", 1: "tomorrow"}[gap]
        month = _MONTHS[value.month - 1]
        said = f"{month} {value.day}" if self.words == "us" else f"{value.day} {month}"
        if today is not None and abs((value - today).days) > 300 and value.year != today.year:
            said += f", {value.year}" if self.words == "us" else f" {value.year}"
        return said

    def clock(self, value: datetime) -> str:
        """Say a time of day: '17:34', or '5:34 pm' in American words."""
        return f"{value:%I:%M} {'am' if value.hour < 12 else 'pm'}".lstrip("0") if self.words == "us" else f"{value:%H:%M}"

    def weekday(self, value: date) -> str:
        """Say the day of the week."""
        return _DAYS[value.weekday()]

    def part_of_month(self, value: date) -> str:
        """Say 'early', 'mid' or 'late' and the month."""
        part = "early" if value.day <= 10 else "mid" if value.day <= 20 else "late"
        return f"{part} {_MONTHS[value.month - 1]}"

    def month(self, number_: int) -> str:
        """Say a month by number, 1 to 12."""
        return _MONTHS[number_ - 1]

    def crop(self, crop_id: str, count: int | None = None) -> str:
        """Say a crop's name in the plot's words: singular for count 1, else plural; an unknown id is said as typed."""
        crop = self.facts.crops.get(crop_id) if self.facts else None
        if crop is None:
            return crop_id.replace("-", " ")
        return crop.said(self.words, plural=count != 1, country=self.country if self.words == "gb" else None)

    def prose(self, text: str) -> str:
        """Say the figures and crop names inside a sentence of the knowledge in the plot's units and words.

        >>> Wording(units="us").prose("replant 75-90 cm apart, above 10 °C (50 °F)")
        'replant 30-35 in apart, above 50 °F'
        """
        text = _BOTH_SCALES.sub(r"\2" if self.us else r"\1", text)
        text = self.named(text)
        return _METRIC.sub(self._metric, text) if self.us else text

    def named(self, text: str) -> str:
        """Say the crop names inside a sentence of the knowledge as they are said here."""
        if self.facts is None or (self.words == "gb" and self.country is None):
            return text
        return local_names(text, self.facts, self.words, self.country if self.words == "gb" else None)

    def _metric(self, match: re.Match[str]) -> str:
        low = float(match[1])
        high = float(match[2]) if match[2] else low
        unit = match[3]
        if unit == "°C":
            return self.temp(low, high)
        if unit in ("kg", "g"):
            low, high = (low, high) if unit == "kg" else (low / 1000, high / 1000)
            return self.mass(low) if low == high else f"{self.mass(low)} to {self.mass(high)}"
        factor = {"mm": 0.1, "cm": 1, "m": 100}[unit]
        return self.length(low * factor, high * factor)

    def pick(self, gb: str, us: str) -> str:
        """Choose between a British and an American wording."""
        return us if self.words == "us" else gb


def capital(text: str) -> str:
    """Begin a sentence or a name with a capital."""
    return text[:1].upper() + text[1:]


def small(text: str) -> str:
    """Begin with a small letter what stands inside a sentence."""
    return text[:1].lower() + text[1:]


def number(value: float, step: float = 0.1) -> str:
    """Round to a step and say it without idle zeros, with ½ and ¼ for US kitchen steps.

    >>> number(2.30), number(3.0), number(0.5, 0.5)
    ('2.3', '3', '½')
    """
    if value < 0:  # the sign stands before the fraction, and nothing is minus nought
        positive = number(-value, step)
        return positive if positive == "0" else f"-{positive}"
    rounded = round(value / step) * step
    whole, part = math.floor(rounded + 1e-9), round(rounded - math.floor(rounded + 1e-9), 4)
    if step in (0.5, 0.25, 0.125) and part in _FRACTIONS:
        return f"{whole}{_FRACTIONS[part]}" if whole else _FRACTIONS[part]
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    return f"{rounded:,.{digits}f}".rstrip("0").rstrip(".") if digits else f"{rounded:,.0f}"


def _range(low: float, high: float, step: float, joiner: str = "-") -> str:
    a, b = number(low, step), number(high, step)
    return a if a == b else f"{a}{joiner}{b}"


def plural(count: float, noun: str) -> str:
    """Say a count with its noun.

    >>> plural(1, "jar"), plural(2, "bunch"), plural(0.5, "bag")
    ('1 jar', '2 bunches', '½ bag')
    """
    amount = number(count, 0.25) if count != int(count) else f"{int(count):,}"
    return f"{amount} {noun if count <= 1 else plural_noun(noun)}"


def plural_noun(noun: str) -> str:
    """Return an English plural good enough for the nouns this bot counts."""
    if noun in _IRREGULAR:
        return _IRREGULAR[noun]
    if noun.endswith(("s", "x", "ch", "sh")):
        return noun + "es"
    if noun.endswith("y") and noun[-2:-1] not in "aeiou":
        return noun[:-1] + "ies"
    return noun + "s"


def listing(items: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Join words as a sentence does.

    >>> listing(["peas", "beans", "leeks"])
    'peas, beans and leeks'
    """
    items = list(items)
    if len(items) <= 1:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"
