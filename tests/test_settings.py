"""Settings: what a broken file says, and what a new plot starts with."""

from __future__ import annotations

import logging
import shutil
from datetime import date
from pathlib import Path

import pytest

from bot.app import Bot
from bot.facts import KnowledgeError
from bot.facts.paths import shipped
from bot.plot.starting import read_plot_file, starting_events
from bot.plot.store import Store
from bot.settings import Settings, load_settings

WHOLE = """\
name: Ours
place: {lat: -42.9, lon: 147.3, elevation_m: 50, tz: Australia/Hobart}
units: us
wording: us
household: 4
last_frost: "10-05"
summary: {day: never, time: "18:30"}
telegram: {who: ids, ids: [12, -1001234567890]}
forecast: {source: file, file: forecast.json}
"""


def test_a_whole_file_is_read(tmp_path: Path) -> None:
    (tmp_path / "settings.yaml").write_text(WHOLE)
    settings = load_settings(tmp_path)
    assert settings.place is not None and settings.place.tz == "Australia/Hobart"
    assert settings.telegram.ids == [12, -1001234567890] and settings.forecast_file() == tmp_path / "forecast.json"
    (event,) = settings.first_events(date(2026, 6, 17))
    assert event.data["summary_day"] is None and event.data["units"] == "us" and event.data["last_frost"] == "10-05"
    assert event.data["place"]["lat"] == -42.9


def test_no_file_gives_the_defaults_and_no_folder_is_an_error(tmp_path: Path) -> None:
    settings = load_settings(tmp_path)
    assert (settings.units, settings.telegram.who, settings.database, settings.forecast_file()) == (
        "metric",
        "invite",
        f"sqlite:///{tmp_path / 'riddle.db'}",
        None,
    )
    with pytest.raises(KnowledgeError, match="no such folder"):
        load_settings(tmp_path / "nowhere")
    assert load_settings().folder is not None and load_settings().database is None


def test_the_database_of_the_environment_wins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "settings.yaml").write_text("database: sqlite:///a.db\n")
    assert load_settings(tmp_path).database == "sqlite:///a.db"
    monkeypatch.setenv("RIDDLE_DATABASE", "sqlite:///b.db")
    assert load_settings(tmp_path).database == "sqlite:///b.db"


@pytest.mark.parametrize(
    ("text", "line", "field", "said"),
    [
        ("units: imperial\n", 1, "units", "'metric' or 'us'"),
        ("name: a\nplace:\n  lat: 95\n  lon: 3\n", 3, "place.lat", "less than or equal to 90"),
        ("place: {lat: 45, lon: 3, tz: Paris}\n", 1, "place.tz", "no time zone"),
        ("summary:\n  time: 8:00\n", 2, "summary.time", "put it in quotes"),
        ("summary:\n  time: '25:00'\n", 2, "summary.time", "hours and minutes"),
        ("last_frost: '31-05'\n", 1, "last_frost", "month-day"),
        ("telegram: {who: ids}\n", 1, "telegram", "needs at least one chat id"),
        ("telegram: {who: everyone}\n", 1, "telegram.who", "'open', 'invite' or 'ids'"),
        ("forecast: {source: file}\n", 1, "forecast", "needs the name of the file"),
        ("household: 0\n", 1, "household", "greater than or equal to 1"),
        ("name: a\nname: b\n", 2, "", "stands twice"),
        ("name: [a\n", 2, "", "not valid YAML"),
        ("colour: green\n", 1, "colour", "no field here"),
    ],
)
def test_a_broken_file_is_named_by_line_and_field(tmp_path: Path, text: str, line: int, field: str, said: str) -> None:
    (tmp_path / "settings.yaml").write_text(text)
    with pytest.raises(KnowledgeError) as caught:
        load_settings(tmp_path)
    fault = caught.value.faults[0]
    assert (fault.file, fault.line, fault.field) == ("settings.yaml", line, field) and said in fault.message
    assert "\n" not in str(fault)


def test_beds_of_a_plot_file_are_laid_out(tmp_path: Path) -> None:
    (tmp_path / "plot.yaml").write_text(
        "beds:\n- {id: long, name: Long bed, length_m: 6, width_m: 1.2, light: shade}\n"
        "people: [{id: me, name: Me}]\nstores: [larder]\n"
    )
    events = starting_events(load_settings(tmp_path), read_plot_file(tmp_path), date(2026, 1, 1))
    assert [e.kind for e in events] == ["plot_set", "plot_set", "bed_added", "person_added"]
    assert events[2].bed == "long" and events[2].data["light"] == "shade"
    (tmp_path / "plot.yaml").write_text("beds:\n- {id: long, name: Long bed, length_m: -6}\n")
    with pytest.raises(KnowledgeError, match=r"plot.yaml:2: beds.0.length_m"):
        read_plot_file(tmp_path)


def test_a_bad_crop_is_left_out_only_when_told_to(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    root = tmp_path / "knowledge"
    shutil.copytree(shipped("knowledge"), root)
    kale = root / "crops" / "kale.yaml"
    kale.write_text(kale.read_text(encoding="utf-8").replace("depth_cm:", "depth:"), encoding="utf-8")
    with pytest.raises(KnowledgeError, match=r"crops/kale.yaml"):
        _ = Settings().facts(root).crops
    told = Settings.model_validate({"skip_bad_crops": True})
    with caplog.at_level(logging.WARNING, logger="bot.settings"):
        facts = told.facts(root)
    assert [record.getMessage() for record in caplog.records if "crops/kale.yaml" in record.getMessage()]
    assert "kale" not in facts.crops and "leek" in facts.crops
    store = Store.open(f"sqlite:///{tmp_path / 'plot.db'}")
    bot = Bot(told, facts, store, today=date(2026, 5, 2))
    for message in ("how deep do I sow leeks", "tell me about brassicas", "tell me about kale", "sowed kale in bed 1"):
        assert bot.turn(message).replies[0].headline
        assert "stumbled" not in bot.turn(message).replies[0].headline
    store.close()
