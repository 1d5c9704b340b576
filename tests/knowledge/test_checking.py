"""The check of a folder: faults, counts, gaps."""

from __future__ import annotations

from nurserytui import paths
from nurserytui.knowledge.checking import check


def test_the_shipped_base_has_no_faults(monkeypatch, tmp_path):
    monkeypatch.setenv("NURSERYTUI_KNOWLEDGE", str(tmp_path / "none"))
    faults, lines = check()
    assert faults == []
    assert any(line.startswith("| pairings of species and plant | ") for line in lines)
    assert any(line.startswith("| species with thermal numbers | ") for line in lines)
    assert any(line.endswith("Facts without a source: 0.") for line in lines)
    assert check(paths.shipped("knowledge")) == (faults, lines)


def test_a_keepers_folder_may_name_what_is_shipped(folder):
    own = folder(
        {"hosts.toml": '["Danaus plexippus"."Reseda odorata"]\nrank = "no"\nreason = "Tried."\n'}, "own", with_small=False
    )
    (ours,) = (line for line in check(paths.shipped("knowledge"))[1] if line.startswith("| pairings"))
    faults, lines = check(own)
    (mine,) = (line for line in lines if line.startswith("| pairings"))
    assert faults == [] and ours.endswith("| 0 |") and mine.endswith("| 1 |")


def test_faults_of_a_keepers_folder(folder):
    faults, _ = check(folder({"hosts.toml": '["Danaus plexippus"."Nowhere plant"]\nrank = "no"\n'}, "own", with_small=False))
    assert [(fault.file, fault.entry) for fault in faults] == [("hosts.toml", "Danaus plexippus + Nowhere plant")]


def test_a_folder_that_is_not_there(tmp_path):
    faults, lines = check(tmp_path / "gone")
    assert faults[0].reason == "is not a folder" and lines == []
