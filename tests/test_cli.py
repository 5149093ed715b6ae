"""The command contract: what is printed, and exit status 2 with one line when something cannot be used."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from bot import cli

KEYS = {"conversation", "turn", "message", "requests", "headline", "text", "cautions", "sources", "working",
        "choices", "picture", "recorded", "data"}


def run(*arguments: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    """Run the command line in this process; return status, output, errors."""
    try:
        cli.app(list(arguments), standalone_mode=False)
        status = 0
    except SystemExit as stop:
        status = int(stop.code or 0)
    except cli.typer.Exit as stop:  # type: ignore[attr-defined]
        status = stop.exit_code
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def test_ask_answers_on_the_demo_plot(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run("ask", "--demo", "--today", "2026-06-17", "how long do I blanch runner beans", capsys=capsys)
    assert status == 0
    assert "3 min" in out


def test_json_holds_the_whole_contract(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run("ask", "--demo", "--json", "--today", "2026-06-17", "how long do I blanch runner beans",
                         "and carrots?", "why?", capsys=capsys)
    assert status == 0
    turns = [json.loads(line) for line in out.splitlines()]
    assert [t["turn"] for t in turns] == [1, 2, 3]
    assert all(set(t) == KEYS for t in turns)
    assert turns[0]["requests"][0] | {"confidence": 0} == {
        "intent": "blanch", "crops": ["runner-bean"], "bed": None, "quantity": None, "date": None, "confidence": 0}
    assert turns[0]["data"]["blanch"]["crop"] == "runner-bean"
    assert turns[1]["requests"][0]["intent"] == "blanch"
    assert turns[1]["requests"][0]["crops"] == ["carrot"]
    assert turns[2]["requests"][0]["intent"] == "why"


def test_batch_runs_each_line_as_its_own_conversation(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "talk.txt"
    file.write_text("how long do I blanch peas ||| and carrots?\n\nand carrots?\n", encoding="utf-8")
    status, out, _ = run("ask", "--demo", "--json", "--batch", str(file), "--today", "2026-06-17", capsys=capsys)
    assert status == 0
    turns = [json.loads(line) for line in out.splitlines()]
    assert [(t["conversation"], t["turn"]) for t in turns] == [(1, 1), (1, 2), (2, 1)]
    assert turns[1]["requests"][0]["intent"] == "blanch"
    assert "blanch" not in turns[2]["data"], "a new conversation remembers nothing of the last"


@pytest.mark.parametrize(("arguments", "names"), [
    (["ask", "--demo", "--today", "17/6/2026", "hello"], "--today"),
    (["ask", "--demo", "--at", "somewhere", "hello"], "--at"),
    (["ask", "--demo", "--at", "95,3", "hello"], "--at"),
    (["ask", "--demo", "--at", "45,3,99999", "hello"], "m"),
    (["ask", "--demo", "--units", "cubits", "hello"], "--units"),
    (["ask", "--demo"], "--batch"),
    (["ask", "--demo", "--batch", "nowhere.txt"], "nowhere.txt"),
    (["ask", "--config", "no-such-folder", "hello"], "no-such-folder"),
    (["knowledge", "show", "no-such-thing"], "no-such-thing"),
    (["import", "no-such-file.json"], "no-such-file.json"),
])
def test_what_cannot_be_used_gets_one_line(arguments: list[str], names: str,
                                           capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(*arguments, capsys=capsys)
    assert status == 2
    assert not out
    assert len(err.strip().splitlines()) == 1
    assert names in err


def test_broken_settings_name_file_line_and_field(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "settings.yaml").write_text("name: x\nunits: cubits\n", encoding="utf-8")
    status, _, err = run("ask", "--config", str(tmp_path), "hello", capsys=capsys)
    assert status == 2
    assert err.startswith("settings.yaml:2: units:")
    (tmp_path / "settings.yaml").write_text("name: [x\n", encoding="utf-8")
    status, _, err = run("ask", "--config", str(tmp_path), "hello", capsys=capsys)
    assert status == 2
    assert "settings.yaml:" in err


def test_a_missing_token_says_what_to_set(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = run("telegram", "--config", str(tmp_path), capsys=capsys)
    assert status == 2
    assert "RIDDLE_TELEGRAM_TOKEN" in err
    assert "riddle chat --demo" in err


def test_another_place_and_units_are_not_recorded(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    base = ["ask", "--json", "--config", str(tmp_path), "--today", "2026-01-15"]
    status, out, _ = run(*base, "--at", "-42.9,147.3,50", "--units", "us", "when is the last frost", capsys=capsys)
    assert status == 0
    assert json.loads(out)["data"]["frost_dates"]
    status, out, _ = run(*base, "when is the last frost", capsys=capsys)
    assert "Where is your plot" in json.loads(out)["headline"]


def test_each_settings_folder_has_a_record_of_its_own(tmp_path: Path, capsys: pytest.CaptureFixture[str],
                                                      monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("RIDDLE_DATABASE", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    run("ask", "--config", str(tmp_path / "one"), "add a bed 1.2 x 3 m called Long bed", capsys=capsys)
    _, one, _ = run("ask", "--config", str(tmp_path / "one"), "show me the plot", capsys=capsys)
    _, two, _ = run("ask", "--config", str(tmp_path / "two"), "show me the plot", capsys=capsys)
    assert "Long bed" in one and "Long bed" not in two
    assert not (tmp_path / "share").exists()


def test_export_then_import_gives_the_same_plot(tmp_path: Path, capsys: pytest.CaptureFixture[str],
                                                monkeypatch: pytest.MonkeyPatch) -> None:
    status, out, _ = run("export", str(tmp_path / "out"), "--demo", "--today", "2026-06-17", capsys=capsys)
    assert status == 0
    names = {Path(line).name for line in out.split("\n") if line}
    assert {"record.json", "journal.csv", "harvests.csv", "stores.csv"} <= names
    monkeypatch.setenv("RIDDLE_DATABASE", f"sqlite:///{tmp_path / 'new.db'}")
    status, out, _ = run("import", str(tmp_path / "out" / "record.json"), capsys=capsys)
    assert status == 0
    status, _, _ = run("export", str(tmp_path / "again"), capsys=capsys)
    first = json.loads((tmp_path / "out" / "record.json").read_text())["events"]
    second = json.loads((tmp_path / "again" / "record.json").read_text())["events"]
    assert first == second


def test_piped_chat_answers_each_line() -> None:
    done = subprocess.run([sys.executable, "-m", "bot", "chat", "--demo", "--today", "2026-06-17"],
                          input="hello\nhow long do I blanch peas\nbye\n", capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert "1½ min" in done.stdout or "1.5 min" in done.stdout


def test_summary_prints_lines(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run("summary", "--demo", "--json", "--today", "2026-03-10", capsys=capsys)
    assert status == 0
    turn = json.loads(out)
    assert set(turn) == KEYS
    assert turn["requests"][0]["intent"] == "summary"
    assert not turn["recorded"]
