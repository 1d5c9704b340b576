"""Every fault of a keeper's file is a value with file, entry and reason; all of them in one pass."""

from __future__ import annotations

import pytest

from nurserytui.knowledge import links, load


def read(top, own=None):
    result = load.read(top, own)
    return result, [*result.faults, *links.broken(result)]


def test_sound_entries_have_no_faults(folder):
    result, faults = read(folder())
    assert faults == []
    assert result.sections["species"]["Testa prima"].wintering.sources == ("book",)


FAULTY = [
    ("species/two.toml", '["Testa altera"]\ncolour = "red"\n', "Testa altera", "unknown field “colour”"),
    ("species/two.toml", '["Testa altera"]\ncommon = "red"\n', "Testa altera", "“common” must be a list of texts"),
    ("species/two.toml", '["Testa altera"]\ninstars = "five"\n', "Testa altera", "“instars” must be a whole number"),
    (
        "species/two.toml",
        '["Testa altera"]\negg = { months = [13], sources = ["book"] }\n',
        "Testa altera, egg",
        "a month is a whole number",
    ),
    (
        "species/two.toml",
        '["Testa altera"]\negg = { months = "may", sources = ["book"] }\n',
        "Testa altera, egg",
        "a list of whole numbers",
    ),
    ("species/two.toml", '["Testa altera"]\nspecialist = 1\n', "Testa altera", "“specialist” must be true or false"),
    ("species/two.toml", '["Testa altera"]\nwinters_as = "stone"\n', "Testa altera", "“winters_as” cannot be “stone”"),
    ("species/two.toml", '["Testa altera"]\nregions = ["moon"]\n', "Testa altera", "“regions” cannot be “moon”"),
    ("species/two.toml", '["Testa altera"]\nlarva = { text = "Red." }\n', "Testa altera, larva", "names no source"),
    (
        "species/two.toml",
        '["Testa altera"]\nlarva = { text = "Red.", sources = ["lost"] }\n',
        "Testa altera",
        "unknown source “lost”",
    ),
    ("species/two.toml", '["Testa altera"]\nlarva = "Red."\n', "Testa altera", "“larva” must be a table"),
    ("species/two.toml", '["Testa prima"]\n', "Testa prima", "stands twice; it is already in species/one.toml"),
    ("species/two.toml", '["Testa altera"]\ngroup = "none"\n', "Testa altera", "unknown group “none”"),
    (
        "species/two.toml",
        '["Testa altera"]\negg = { colours = ["mauve"], sources = ["book"] }\n',
        "Testa altera, egg",
        "cannot be “mauve”",
    ),
    (
        "hosts/two.toml",
        '["Testa prima"."Herba alia"]\nrank = "primary"\nsources = ["book"]\n',
        "Testa prima + Herba alia",
        "unknown plant",
    ),
    (
        "hosts/two.toml",
        '["Testa nulla"."Herba una"]\nrank = "primary"\nsources = ["book"]\n',
        "Testa nulla + Herba una",
        "unknown species",
    ),
    (
        "hosts/two.toml",
        '["Testa prima"."Herba spp."]\nrank = "good"\nsources = ["book"]\n',
        "Testa prima + Herba spp.",
        "cannot be “good”",
    ),
    ("hosts/two.toml", '["Testa prima"."Herba spp."]\nsources = ["book"]\n', "Testa prima + Herba spp.", "“rank” is missing"),
    ("hosts/two.toml", '["Testa prima"]\nrank = "primary"\n', "Testa prima + rank", "must be a table"),
    (
        "thermal.toml",
        '"Testa prima" = [{ stage = "egg", base = 10, degree_days = 0, sources = ["book"] }]\n',
        "Testa prima, row 1",
        "above 0",
    ),
    (
        "thermal.toml",
        '"Testa prima" = [{ stage = "egg", base = 10, degree_days = 50 }]\n',
        "Testa prima, row 1",
        "names no source",
    ),
    (
        "durations.toml",
        '"Testa prima" = [{ stage = "egg", low = 5, high = 3, sources = ["book"] }]\n',
        "Testa prima, row 1",
        "must not fall",
    ),
    ("durations.toml", '"Testa prima" = [{ stage = "egg", sources = ["book"] }]\n', "Testa prima, row 1", "at least one of"),
    ("durations.toml", '"Testa prima" = { stage = "egg" }\n', "Testa prima", "must be a list of tables"),
    ("cuttings.toml", '["Herba nulla"]\ndays_low = 1\n', "Herba nulla", "“days_high” is missing"),
    ("names/plants.toml", '"weed" = { means = [], usual = true, sources = ["book"] }\n', "weed + plant", "must mean something"),
    ("weather.toml", "[sun]\n", "sun", "neither the file nor this table is named after a part"),
    ("spceies.toml", '["Testa altera"]\n', "Testa altera", "did you mean the file to be “species”?"),
    ("mine.toml", '[specie."Testa altera"]\n', "specie", "did you mean the table to be “species”?"),
    ("mine.toml", "species = 5\n", "species", "must be a table"),
    ("mine.toml", '[names."test"]\nmeans = ["Testa prima"]\nusual = true\nsources = ["book"]\n', "test + ", "“kind” is missing"),
    ("rules/law.toml", "[one\n", "", "cannot be read as TOML"),
]


@pytest.mark.parametrize(("file", "text", "entry", "reason"), FAULTY)
def test_a_fault_says_file_entry_and_reason(folder, file, text, entry, reason):
    _, faults = read(folder({file: text}))
    assert any(fault.file == file and fault.entry == entry and reason in fault.reason for fault in faults), faults


def test_all_faults_come_in_one_pass_and_the_rest_is_used(folder):
    result, faults = read(
        folder(
            {
                "species/two.toml": '["Testa altera"]\ncolour = 1\nfamily = 2\n["Testa tertia"]\nfamily = "Testidae"\n',
                "x.toml": "[sun]",
            }
        )
    )
    assert len(faults) == 3
    assert "Testa altera" not in result.sections["species"]
    assert result.sections["species"]["Testa tertia"].family == "Testidae"


def test_inner_tables_share_the_sources_of_their_entry(folder):
    text = '[grain]\nfound_on = ["any"]\ntell = "It rolls."\naction = "None."\nsources = ["book"]\n[grain.egg]\ncolours = ["white"]\n'
    result, faults = read(folder({"look_alikes.toml": text}))
    assert faults == []
    assert result.sections["look_alikes"]["grain"].egg.sources == ("book",)


def test_own_folder_adds_and_overrides_field_by_field(folder):
    own = folder(
        {
            "species.toml": '["Testa prima"]\ncommon = ["my first"]\n["Testa mea"]\nlarva = { text = "Blue." }\n',
            "hosts.toml": '["Testa mea"."Herba una"]\nrank = "accepted"\n',
        },
        "own",
        with_small=False,
    )
    result, faults = read(folder(), own)
    assert faults == []
    first = result.sections["species"]["Testa prima"]
    assert first.common == ("my first",)
    assert first.specialist and first.wintering.text == "As a pupa."
    assert result.sections["species"]["Testa mea"].larva.sources == ("own",)
    assert result.sections["hosts"]["Testa mea", "Herba una"].sources == ("own",)
    assert result.sections["sources"]["own"].kind == "own"


def test_one_own_file_may_hold_several_parts(folder):
    text = (
        '[species."Testa mea"]\nlarva = { text = "Blue." }\n[hosts."Testa mea"."Herba una"]\nrank = "poor"\nreason = "Tried."\n'
        '[durations]\n"Testa mea" = [{ stage = "egg", temperature = 22, mean = 5 }]\n[names]\nbluey = { kind = "species", '
        'means = ["Testa mea"], usual = true }\n[traits.colours]\nmauve = ["mauve"]\n'
    )
    result, faults = read(folder(), folder({"garden.toml": text}, "own", with_small=False))
    assert faults == [] and result.traits["colours"]["mauve"] == ("mauve",)
    assert result.sections["hosts"]["Testa mea", "Herba una"].rank == "poor"
    (egg,) = result.sections["durations"]["Testa mea"]
    assert egg.kind == "own" and egg.sources == ("own",)
    assert result.sections["names"]["bluey", "species"].means == ("Testa mea",)


def test_what_a_keeper_says_names_them_beside_the_source_they_give(folder):
    text = '["Testa prima"]\ncommon = ["my first"]\nwintering = { text = "As an egg.", sources = ["book"] }\nsources = ["book"]\n'
    result, faults = read(folder(), folder({"species.toml": text}, "own", with_small=False))
    first = result.sections["species"]["Testa prima"]
    assert faults == [] and first.sources == first.wintering.sources == ("own", "book")


def test_what_a_keeper_left_alone_in_an_entry_keeps_its_own_source(folder):
    result, _ = read(folder(), folder({"species.toml": '["Testa prima"]\ncommon = ["x"]\n'}, "own", with_small=False))
    assert result.sections["species"]["Testa prima"].wintering.sources == ("book",)


def test_a_keeper_may_change_one_trait_of_an_egg(folder):
    base = folder(
        {
            "species/one.toml": '["Testa prima"]\negg = { colours = ["white"], size_mm = 1.0, sources = ["book"] }\n',
            "hosts/one.toml": "",
        }
    )
    result, faults = read(base, folder({"species.toml": '["Testa prima"]\negg = { size_mm = 1.2 }\n'}, "own", with_small=False))
    egg = result.sections["species"]["Testa prima"].egg
    assert faults == [] and egg.colours == ("white",) and egg.size_mm == 1.2 and egg.sources == ("own", "book")


def test_an_entry_on_a_faulty_species_says_that_it_was_left_out(folder):
    text = '[species."Testa mea"]\ngroup = "none"\n[hosts."Testa mea"."Herba una"]\nrank = "poor"\n'
    _, faults = read(folder(), folder({"mine.toml": text}, "own", with_small=False))
    assert [str(fault) for fault in faults][1:] == ["mine.toml, Testa mea + Herba una: its species “Testa mea” was left out"]


@pytest.mark.parametrize(
    "text",
    ['["Testa prima"]\ncommon = 5\n', '["Testa prima"]\nlarva = { text = "Blue.", sources = ["lost"] }\n', "[[[\n"],
)
def test_a_faulty_own_entry_leaves_the_shipped_one_standing(folder, text):
    own = folder({"species.toml": text}, "own", with_small=False)
    result, faults = read(folder(), own)
    assert len(faults) == 1 and faults[0].file == "species.toml"
    assert result.sections["species"]["Testa prima"].common == ("first test",)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('["hedge jewel"]\nkind = ["species"]\nmeans = ["Testa prima"]\n', "“kind” must be text"),
        ('["hedge jewel"]\nkind = "species"\nmeans = ["Testa prima"]\nx = ' + "9" * 5000, "cannot be read as TOML"),
        ('["hedge jewel"]\nx = ' + "[" * 5000, "stand inside each other too deep"),
    ],
    ids=["a kind that is a list", "a number of 5,000 digits", "5,000 lists deep"],
)
def test_names_that_broke_the_reading_are_faults(folder, text, reason):
    _, faults = read(folder({"names/mine.toml": text}))
    assert any(reason in fault.reason for fault in faults)


@pytest.mark.parametrize("number", ["1e300", "1000001", "-2000000.0", "9" * 400, "inf", "nan"])
def test_a_number_that_no_fact_has_is_a_fault(folder, number):
    _, (fault,) = read(folder({"species/two.toml": f'["Testa altera"]\negg = {{ size_mm = {number}, sources = ["book"] }}\n'}))
    assert "must be a number up to 1,000,000" in fault.reason


def test_a_fault_is_told_on_one_line_whatever_an_entry_is_called(folder):
    _, (fault,) = read(folder({"species/two.toml": '["a\\nb\\u001b[2J"]\ncolour = 1\n'}))
    assert str(fault).isprintable() and "a\ufffdb\ufffd[2J" in str(fault)


@pytest.mark.parametrize(
    "traits", ["batch_low = 0, batch_high = 2", "batch_low = 3, batch_high = 2", "size_mm = -0.8", "met = 0"]
)
def test_numbers_of_eggs_that_cannot_be_are_faults(folder, traits):
    _, (fault,) = read(folder({"species/two.toml": f'["Testa altera"]\negg = {{ {traits}, sources = ["book"] }}\n'}))
    assert "numbers above 0" in fault.reason


def test_days_below_none_are_faults(folder):
    text = '["hedge wasp"]\ncommon = ["hedge wasp"]\ntype = "parasitoid wasp"\ncontrols = "c"\nattacks = ["pupa"]\nwindow = "a"\nemergence = "b"\ndays_low = -3\ndays_high = 2\nsources = ["book"]\n'
    _, faults = read(folder({"agents.toml": text}))
    assert [fault.reason for fault in faults] == ["days are not below 0, the low ones first"]
