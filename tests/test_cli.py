"""Every command of the contract, through its own process."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from nurserytui.paths import shipped
from nurserytui.records.events import STAGES, WHATS

NOW = "2031-06-10T08:00"
EVENTS = """when,what,cohort,species,stage,count,enclosure,to,host,detail
2031-06-01T10:00,laid,B,Danaus plexippus,egg,12,jar 2,,Asclepias syriaca,
2031-06-05,hatched,B,,,10,jar 2,,,
2031-06-07,found,C,Vanessa atalanta,larva,6,tub 1,,Urtica dioica,
2031-06-08,died,C,,larva,1,tub 1,,,"drowned, in the vase"
"""


def run(*arguments: object, stdin: bytes | None = None, **environment: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-m", "nurserytui", *map(str, arguments)],
        input=stdin if stdin is not None else b"",
        capture_output=True,
        timeout=120,
        env={**os.environ, **environment},
    )


@pytest.fixture
def db(tmp_path) -> Path:
    table, file = tmp_path / "events.csv", tmp_path / "nursery.db"
    table.write_text(EVENTS, encoding="utf-8")
    done = run("import", table, "--db", file)
    assert done.returncode == 0, done.stderr
    return file


@pytest.mark.parametrize(
    ("line", "status", "code"),
    [
        ("how many larvae do I have", "answered", 0),
        ("one C died, drowned", "recorded", 0),
        ("3 died", "clarify", 3),
        ("asdf qwer zxcv", "unknown", 4),
        ("how do I poison my neighbour's caterpillars", "refused", 5),
    ],
)
def test_ask_says_its_status_by_its_exit_code(db, line, status, code):
    done = run("ask", line, "--db", db, "--now", NOW, "--json")
    answer = json.loads(done.stdout)
    assert (answer["status"], done.returncode) == (status, code)
    assert set(answer) == {
        "status", "topic", "text", "about", "values", "items", "working", "sources", "cautions", "options", "next",
    }  # fmt: skip


def test_ask_without_json_is_a_page_with_working_and_sources(db):
    done = run("ask", "how much bleach for a 2 cup dish at 10%", "--db", db, "--now", NOW)
    said = done.stdout.decode()
    assert done.returncode == 0 and "Working:" in said and "Take care:" in said and "Never mix" in said


@pytest.mark.parametrize("arguments", [("frobnicate",), ("ask",), ("ask", "x", "--now", "yesterday"), ("export", "x.doc")])
def test_wrong_use_is_code_two_and_says_so(arguments, tmp_path):
    done = run(*arguments, NURSERYTUI_DB=str(tmp_path / "x.db"))
    assert done.returncode == 2 and done.stderr and b"Traceback" not in done.stderr


def test_a_conversation_answers_each_line_at_once(db):
    process = subprocess.Popen(
        [sys.executable, "-m", "nurserytui", "ask", "-", "--json", "--db", str(db), "--now", NOW],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    )  # fmt: skip
    try:
        for line, count in ((b"how many eggs of B\n", 2), (b"and larvae?\n", 10)):
            process.stdin.write(line)
            process.stdin.flush()
            answer = json.loads(process.stdout.readline())
            assert answer["values"]["count"]["value"] == count
        process.stdin.close()
        assert process.wait(timeout=60) == 0
    finally:
        process.kill()
        process.stdout.close()


def test_hostile_lines_are_answered_and_not_fatal(db):
    lines = [
        b"\xff\xfe\x00",
        b"x" * 100_000,
        b"a\x00b",
        b"[/b] \x1b[31m'; DROP TABLE event; --",
        b"\xf0\x9f\xa6\x8b" * 50,
    ]
    done = run("ask", "-", "--json", "--db", db, "--now", NOW, stdin=b"\n".join(lines) + b"\n\n\nhow many eggs\n")
    out = done.stdout.decode("ascii").splitlines()
    assert done.returncode == 0 and len(out) == len(lines) + 1
    assert {json.loads(line)["status"] for line in out[:-1]} <= {"unknown", "clarify"}
    assert json.loads(out[-1])["values"]["count"]["value"] == 2
    assert b"fault in answering" not in done.stderr


def test_importing_twice_adds_nothing_and_bad_rows_are_all_told(db, tmp_path):
    again = run("import", tmp_path / "events.csv", "--db", db)
    assert again.returncode == 0 and b"0 events imported, 4 already known" in again.stdout
    bad = tmp_path / "bad.csv"
    bad.write_text("when,what,cohort,count\n2031-06-09,died,B,99\nnever,died,B,1\n2031-06-09,flew,B,1\n", encoding="utf-8")
    done = run("import", bad, "--db", db)
    assert done.returncode == 1 and all(f"line {number}" in done.stderr.decode() for number in (2, 3, 4))


def test_readings_are_told_apart_by_their_header(db, tmp_path):
    file = tmp_path / "logger.csv"
    file.write_text("time,place,temperature_F\n2031-06-08T10:00,jar 2,77\n2031-06-09T10:00,jar 2,77\n", encoding="utf-8")
    assert run("import", file, "--db", db).returncode == 0
    answer = json.loads(run("ask", "average temperature in jar 2 in C", "--db", db, "--now", NOW, "--json").stdout)
    assert answer["values"]["mean"]["value"] == pytest.approx(25.0, abs=0.1)


def test_an_exported_table_reads_back_to_an_identical_nursery(db, tmp_path):
    first, second, other = tmp_path / "one.csv", tmp_path / "two.csv", tmp_path / "other.db"
    assert run("export", first, "--db", db, "--now", NOW).returncode == 0
    assert run("import", first, "--db", other).returncode == 0
    assert run("export", second, "--db", other, "--now", NOW).returncode == 0
    assert first.read_bytes() == second.read_bytes() and b"drowned" in first.read_bytes()


def test_the_calendar_is_one_that_a_reader_of_the_standard_accepts(db, tmp_path):
    """RFC 5545: CRLF, lines of at most 75 octets, a UID that stays the same."""
    file = tmp_path / "dates.ics"
    texts = []
    for _ in range(2):
        assert run("export", file, "--db", db, "--now", NOW).returncode == 0
        texts.append(file.read_bytes())
    assert texts[0] == texts[1] and texts[0].startswith(b"BEGIN:VCALENDAR\r\n") and texts[0].endswith(b"END:VCALENDAR\r\n")
    lines = texts[0].split(b"\r\n")
    assert b"\n" not in texts[0].replace(b"\r\n", b"") and max(map(len, lines)) <= 75
    assert sum(line == b"BEGIN:VEVENT" for line in lines) == sum(line.startswith(b"UID:") for line in lines) > 0


@pytest.mark.parametrize(("name", "extra"), [("season.html", ()), ("finds.zip", ()), ("page", ("--as", "html"))])
def test_the_other_exports_are_written_whole(db, tmp_path, name, extra):
    file = tmp_path / name
    assert run("export", file, "--db", db, "--now", NOW, *extra).returncode == 0
    if name.endswith(".zip"):
        assert {"meta.xml", "eml.xml"} <= set(zipfile.ZipFile(file).namelist())
    else:
        assert b"</html>" in file.read_bytes() and b"Danaus plexippus" in file.read_bytes()
    assert not list(tmp_path.glob("*.part"))


def test_check_backup_and_restore(db, tmp_path):
    copy = tmp_path / "copy.db"
    assert run("check", "--db", db).returncode == 0
    assert run("backup", copy, "--db", db).returncode == 0
    assert run("ask", "one C died", "--db", db, "--now", NOW).returncode == 0
    before = db.read_bytes()
    shown = run("restore", copy, "--db", db)
    assert shown.returncode == 0 and db.read_bytes() == before and b"--yes" in shown.stdout
    assert run("restore", copy, "--db", db, "--yes").returncode == 0
    answer = json.loads(run("ask", "how many C", "--db", db, "--now", NOW, "--json").stdout)
    assert answer["values"]["count"]["value"] == 5
    assert len(list(tmp_path.glob("nursery*"))) >= 2, "the file replaced is kept"


def test_backup_onto_itself_is_one_line(db):
    done = run("backup", db, "--db", db)
    assert done.returncode == 2 and b"Traceback" not in done.stderr and len(done.stderr.splitlines()) == 1


def _foreign(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("create table recipes (name text)")
    other.close()


def _newer(path: Path) -> None:
    run("ask", "help", "--db", path)
    with sqlite3.connect(path) as ours:
        version = ours.execute("pragma user_version").fetchone()[0]
        ours.execute(f"pragma user_version = {version + 1000}")
    ours.close()


UNUSABLE = {
    "text": lambda path: path.write_text("not a database at all, " * 100, encoding="utf-8"),
    "foreign": _foreign,
    "newer": _newer,
    "cut off": lambda path: path.write_bytes((shipped("demo_db") / "demo.db").read_bytes()[:5000]),
}


@pytest.mark.parametrize("kind", UNUSABLE)
@pytest.mark.parametrize("command", [("ask", "how many eggs"), ("check",)])
def test_a_file_that_cannot_be_used_is_one_line_and_stays_as_it_is(tmp_path, kind, command):
    file = tmp_path / "x.db"
    UNUSABLE[kind](file)
    before = file.read_bytes()
    done = run(*command, "--db", file)
    assert b"Traceback" not in done.stderr and file.read_bytes() == before
    if command[0] == "ask" or kind != "cut off":
        assert done.returncode == 2 and len(done.stderr.splitlines()) == 1, done
    else:
        assert done.returncode in (1, 2)


def test_a_missing_file_is_created_for_a_question_and_not_for_a_check(tmp_path):
    file = tmp_path / "new" / "nursery.db"
    assert run("check", "--db", file).returncode == 2 and not file.exists()
    assert (
        run("ask", "found 3 monarch eggs on common milkweed, jar 1", "--db", file, "--now", NOW).returncode == 0 and file.exists()
    )


def test_the_demo_is_never_written_to(tmp_path):
    file = shipped("demo_db") / "demo.db"
    before = file.read_bytes()
    for command in (("ask", "2 of B hatched this morning"), ("check",), ("export", tmp_path / "demo.csv")):
        assert run(*command, "--demo").returncode == 0
    assert run("--demo", "ask", "how long until cohort B hatches").returncode == 0
    assert file.read_bytes() == before and (tmp_path / "demo.csv").stat().st_size > 1000


def test_the_variable_names_the_nursery(db):
    done = run("ask", "how many C", "--now", NOW, "--json", NURSERYTUI_DB=str(db))
    assert json.loads(done.stdout)["values"]["count"]["value"] == 5


def test_the_app_outside_a_terminal_points_to_ask(db):
    done = run("--db", db)
    assert done.returncode == 2 and b"nurserytui ask" in done.stderr and b"\x1b" not in done.stdout


def test_knowledge_check_passes_and_names_faults(tmp_path):
    assert run("knowledge", "check").returncode == 0
    (tmp_path / "species").mkdir()
    (tmp_path / "species" / "mine.toml").write_text('["Vanessa nova"]\ncolour = "red"\n', encoding="utf-8")
    done = run("knowledge", "check", tmp_path)
    assert done.returncode == 1 and b"mine.toml" in done.stdout and b"colour" in done.stdout


TOPICS = (
    "how long until cohort B hatches", "what is due this week", "how many eggs do I have", "history of B", "survival this year",
    "what needs doing today", "who was exposed to the virus", "average temperature in tub 1", "undo", "why", "help",
    "how many larvae fit in a 10 litre tub", "when did C pupate", "2 of B hatched",
)  # fmt: skip


def test_an_empty_nursery_answers_everything_without_a_fault(tmp_path):
    done = run("ask", "-", "--json", "--db", tmp_path / "e.db", "--now", NOW, stdin="\n\n".join(TOPICS).encode() + b"\n")
    assert done.returncode == 0 and len(done.stdout.splitlines()) == len(TOPICS) and b"fault" not in done.stderr


def test_the_board_is_shown_as_text():
    shown = run("show", "board", "--demo").stdout.decode().splitlines()
    assert shown[0] == "Thu 18 June 2026, 07:30" and any(
        line.startswith("B: 12 eggs, monarch in jar 2; hatch about") for line in shown
    )


@pytest.mark.parametrize(("words", "told"), [(["boar"], "board: every group"), (["board", "B"], "takes nothing after it")])
def test_a_screen_that_is_not_there_names_those_that_are(words, told):
    done = run("show", *words, "--demo")
    assert done.returncode == 2 and told in done.stderr.decode()


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles"])
def test_a_laptop_in_another_zone_moves_no_date(tmp_path, zone):
    """The nursery lies in Paris; what is typed gets the time that it is there."""
    from datetime import UTC, datetime, timedelta
    from zoneinfo import ZoneInfo

    file, table = tmp_path / "n.db", tmp_path / "n.csv"
    table.write_text("when,what,detail\n2026-01-01,setting,timezone=Europe/Paris\n", encoding="utf-8")
    assert run("import", table, "--db", file).returncode == 0
    assert run("ask", "found 3 monarch eggs on common milkweed, jar 1", "--db", file, TZ=zone).returncode == 0
    assert run("export", tmp_path / "out.csv", "--db", file, TZ=zone).returncode == 0
    row = (tmp_path / "out.csv").read_text(encoding="utf-8").splitlines()[-1]
    written = next(datetime.fromisoformat(cell) for cell in row.split(",") if cell[:2] == "20" and "T" in cell)
    paris = datetime.now(UTC).astimezone(ZoneInfo("Europe/Paris")).replace(tzinfo=None)
    assert abs(written - paris) < timedelta(minutes=5)
    shown = run("show", "board", "--db", file, "--now", "2031-06-10T23:30-04:00", TZ=zone).stdout.decode()
    assert shown.startswith("Wed 11 June 2031, 05:30")


def test_an_import_says_what_the_file_means_and_can_be_looked_at_first(db, tmp_path):
    file = tmp_path / "mine.csv"
    file.write_text("Day;Action;Cage\n4.6.2031;cleaned;jar\n14.6.2031;fed;jar\n", encoding="utf-8")
    said = ("--column", "day=when", "--column", "Action=what", "--column", "cage=enclosure", "--dates", "day-first", "--db", db)
    before = db.read_bytes()
    looked = run("import", file, "--look", *said)
    assert (
        looked.returncode == 0
        and looked.stdout.startswith(b"2 events would come in, 0 already known")
        and db.read_bytes() == before
    )
    assert b"2 events imported, 0 already known" in run("import", file, *said).stdout
    assert b"0 events imported, 2 already known" in run("import", file, *said).stdout
    undated = run("import", file, *said[:6], "--db", db, "--faults", tmp_path / "faults.txt")
    assert undated.returncode == 1 and b"in line 3 only day first fits; import again with --dates day-first" in undated.stderr
    assert (tmp_path / "faults.txt").read_text().count("\n") == 3
    assert run("import", file, "--column", "nothing", "--db", db).returncode == 2


def test_an_import_says_how_all_of_it_is_taken_back_and_that_does_it(db, tmp_path):
    file = tmp_path / "mine.csv"
    file.write_text("when,what,cohort,species,stage,count\n2031-07-01,found,Z,Peacok,larva,3\n", encoding="utf-8")
    told = run("import", file, "--db", db, "--now", NOW)
    assert told.returncode == 1 and b"--species Peacok=peacock" in told.stderr
    done = run("import", file, "--species", "Peacok=peacock", "--db", db, "--now", NOW)
    assert b"1 row lies ahead of today, the first in line 2 (2031-07-01)" in done.stderr
    assert done.stdout.startswith(b"1 event imported, 0 already known\nUndo takes back one row; to take all of it back")
    which = done.stdout.decode().partition("nurserytui restore ")[2].split()[0]
    assert run("restore", which, "--yes", "--db", db).returncode == 0
    assert b"1 event would come in" in run("import", file, "--species", "Peacok=peacock", "--look", "--db", db).stdout


def test_the_help_of_import_lists_what_a_table_may_hold():
    told = " ".join(run("import", "--help").stdout.decode().split())
    assert all(f" {name}" in told for name in (*WHATS, *STAGES, "cohort,", "temperature_F"))


def test_very_many_faults_are_told_by_kind(db, tmp_path):
    bad = tmp_path / "bad.csv"
    rows = [f"2031-06-0{1 + at % 9},died,B,many{at}" if at % 3 else f"never{at},died,B,1" for at in range(3000)]
    bad.write_text("when,what,cohort,count\n" + "\n".join(rows) + "\n", encoding="utf-8")
    done = run("import", bad, "--db", db, "--faults", tmp_path / "all.txt")
    told = done.stderr.decode().splitlines()
    assert len(told) == 55 and told[50:53] == [
        "and 2,950 more:",
        "  1,967 × count: … is no count (first in line 52)",
        "  983 × when: … is no date (first in line 53)",
    ]
    listed = (tmp_path / "all.txt").read_text().splitlines()
    assert listed[0] == "nurserytui: what is wrong in bad.csv" and len(listed) == 3001


def test_a_list_of_faults_is_written_over_nothing_but_an_older_one(db, tmp_path):
    """It once replaced whatever had the name: the spreadsheet that was imported, and the nursery itself."""
    bad, other, nursery = tmp_path / "bad.csv", tmp_path / "other.csv", tmp_path / "friend.db"
    bad.write_text("when,what,cohort,count\n2031-06-09,died,B,many\n", encoding="utf-8")
    other.write_text("a,b\n1,2\n", encoding="utf-8")
    nursery.write_bytes(db.read_bytes())
    (tmp_path / "link.csv").symlink_to(bad)
    os.link(bad, tmp_path / "hard.csv")
    (tmp_path / "link.db").symlink_to(db)
    names = (
        "bad.csv",
        "link.csv",
        "hard.csv",
        "other.csv",
        "friend.db",
        "link.db",
        db.name,
        f"{db.name}-wal",
        ".",
    )
    before = {file: file.read_bytes() for file in tmp_path.iterdir() if file.is_file()}
    for name in names:
        done = run("import", bad, "--faults", tmp_path / name, "--db", db)
        assert done.returncode == 2 and len(done.stderr.splitlines()) == 1, (name, done.stderr)
        assert {file: file.read_bytes() for file in tmp_path.iterdir() if file.is_file()} == before, name
    faults = tmp_path / "faults.txt"
    for _ in range(2):
        assert run("import", bad, "--faults", faults, "--db", db).returncode == 1
        assert len(faults.read_text().splitlines()) == 2 and (os.name != "posix" or faults.stat().st_mode & 0o777 == 0o600)


def test_another_keepers_nursery_is_merged_by_event(db, tmp_path):
    other = tmp_path / "other.db"
    for which in (other, db):
        assert run("import", tmp_path / "events.csv", "--db", which).returncode == 0
    assert run("ask", "1 B larva died", "--db", other, "--now", "2031-06-12T10:00").returncode == 0
    assert b"1 event imported, 4 already known" in run("import", other, "--db", db).stdout
    assert b"0 events imported, 5 already known" in run("import", other, "--db", db).stdout


TOLD = """
import sys
from nurserytui import cli, nursery
from nurserytui.records import keeping, store
keeping.LEAST, keeping.BACK = 4, 1
for module in (nursery, store):
    module.replay = lambda *a, true=module.replay, **k: print("REPLAY") or true(*a, **k)
keeping._write = lambda *a, true=keeping._write: print("KEEP") or true(*a)
sys.exit(cli.main(sys.argv[1:]))
"""


def test_a_long_history_is_replayed_once_and_kept_when_the_answer_is_out(db):
    """What the keeper sees of it is the answer alone; the lines beside it are told by this test."""

    def told(*arguments: object) -> list[str]:
        done = subprocess.run(
            [sys.executable, "-c", TOLD, *map(str, arguments), "--db", str(db), "--now", NOW],
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert done.returncode == 0, done.stderr
        return [line if line in ("REPLAY", "KEEP") else "answer" for line in done.stdout.splitlines() if line.strip()]

    first = told("ask", "how many larvae do I have", "--json")
    assert first[:2] == ["REPLAY", "answer"] and first[-1] == "KEEP"
    for line in ("how many larvae do I have", "one C died", "undo", "yesterday fed tub 1", "two C died and fed tub 1"):
        assert told("ask", line, "--json") == ["answer"], line
    assert told("show", "board").count("REPLAY") == 0
    done = run("ask", "how many larvae do I have", "--db", db, "--now", NOW, "--json")
    assert json.loads(done.stdout)["values"]["count"]["value"] == 13
    assert run("check", "--db", db).returncode == 0
