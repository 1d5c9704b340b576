"""The lazy root: names load on first use, and nothing heavy comes with them."""

from __future__ import annotations

import subprocess
import sys

import pytest

import nurserytui.biology as biology


def test_every_promised_name_is_there():
    assert set(biology.__all__) == {
        "ReadingsSum",
        "SurvivalCurve",
        "day_length",
        "degree_days",
        "degree_days_of_readings",
        "kaplan_meier",
        "wilson",
    }
    for name in biology.__all__:
        assert callable(getattr(biology, name))
        assert name in dir(biology)


def test_an_unknown_name_is_an_attribute_error():
    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        _ = biology.nonsense


def test_a_function_is_not_hidden_by_a_module_of_its_name():
    script = (
        "import pkgutil, importlib, nurserytui.biology as b\n"
        "for each in pkgutil.iter_modules(b.__path__): importlib.import_module('nurserytui.biology.' + each.name)\n"
        "assert all(callable(getattr(b, name)) for name in b.__all__)\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


def test_no_files_no_database_no_numpy():
    script = (
        "import sys, pkgutil, importlib, nurserytui.biology as b\n"
        "for each in pkgutil.iter_modules(b.__path__): importlib.import_module('nurserytui.biology.' + each.name)\n"
        "bad = {'numpy', 'scipy', 'sqlite3', 'pathlib', 'dataclasses', 'statistics', 'tomllib', 'csv'} & set(sys.modules)\n"
        "assert not bad, bad\n"
        "above = [m for m in sys.modules if m.startswith('nurserytui.') and not m.startswith('nurserytui.biology')]\n"
        "assert not above, above\n"
    )
    subprocess.run([sys.executable, "-S", "-c", script], check=True)
