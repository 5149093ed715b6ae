"""The cache makes a start faster and can never make it wrong."""

from __future__ import annotations

import json
import os
import stat
import sys
from pathlib import Path

import pytest

from bot.facts import Facts, KnowledgeError
from bot.facts.cache import Cache
from tests.facts.conftest import edit


@pytest.fixture
def cache(tmp_path_factory: pytest.TempPathFactory) -> Cache:
    return Cache(tmp_path_factory.mktemp("cache") / "knowledge")


def entries(cache: Cache) -> list[Path]:
    assert cache.folder is not None
    return sorted(cache.folder.glob("*.json"))


def test_what_is_remembered_equals_what_is_read(folder: Path, cache: Cache) -> None:
    first = Facts(folder, cache=cache).crops
    assert entries(cache)
    assert Facts(folder, cache=cache).crops == first == Facts(folder, cache=Cache(None)).crops


def test_a_changed_file_is_read_anew(folder: Path, cache: Cache) -> None:
    assert Facts(folder, cache=cache).crops["leek"].hardiness[0].kill_c == -11
    edit(folder, "kill_c: -11", "kill_c: -12")
    assert Facts(folder, cache=cache).crops["leek"].hardiness[0].kill_c == -12


def test_a_remembered_value_is_really_used(folder: Path, cache: Cache) -> None:
    _ = Facts(folder, cache=cache).crops
    [entry] = entries(cache)
    value = json.loads(entry.read_text(encoding="utf-8"))
    value[0]["botanical"] = "Allium memoria"
    entry.write_text(json.dumps(value), encoding="utf-8")
    assert Facts(folder, cache=cache).crops["leek"].botanical == "Allium memoria"


@pytest.mark.parametrize("content", ["", "{", "null", "[]", "[1]", '[{"id": "leek"}]', "\x00\x01"])
def test_a_spoilt_entry_cannot_pass_for_knowledge(folder: Path, cache: Cache, content: str) -> None:
    _ = Facts(folder, cache=cache).crops
    [entry] = entries(cache)
    entry.write_text(content, encoding="utf-8")
    facts = Facts(folder, cache=cache)
    if content in ("[1]", '[{"id": "leek"}]'):  # well-formed but not a crop: refused by the model like any bad file
        with pytest.raises(KnowledgeError):
            _ = facts.crops
    else:
        assert facts.crops["leek"].hardiness[0].kill_c == -11


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are a POSIX matter")
def test_entries_are_private_and_entries_others_may_write_are_ignored(folder: Path, cache: Cache) -> None:
    _ = Facts(folder, cache=cache).crops
    [entry] = entries(cache)
    assert stat.S_IMODE(entry.stat().st_mode) == 0o600
    assert stat.S_IMODE(entry.parent.stat().st_mode) == 0o700
    value = json.loads(entry.read_text(encoding="utf-8"))
    value[0]["botanical"] = "Allium alienum"
    entry.write_text(json.dumps(value), encoding="utf-8")
    os.chmod(entry, 0o666)
    assert Facts(folder, cache=cache).crops["leek"].botanical == "Allium porrum"


def test_a_folder_that_cannot_be_written_is_no_matter(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    blocked = tmp_path_factory.mktemp("blocked") / "a-file"
    blocked.write_text("not a folder", encoding="utf-8")
    assert Facts(folder, cache=Cache(blocked)).crops["leek"].id == "leek"


def test_faulty_files_are_never_remembered(folder: Path, cache: Cache) -> None:
    edit(folder, "use: [vegetable]", "use: [vegetable")
    with pytest.raises(KnowledgeError):
        _ = Facts(folder, cache=cache).crops
    assert entries(cache) == []


def test_old_entries_are_cleared_away(cache: Cache) -> None:
    for number in range(40):
        cache.put(f"{number:040d}", [number])
    assert len(entries(cache)) <= 24
    assert not list(entries(cache)[0].parent.glob("*.part"))


def test_the_users_cache_can_be_switched_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RIDDLE_NO_CACHE", "1")
    assert Cache.of_user().folder is None
