from __future__ import annotations

import pytest

from nurserytui.knowledge import fitting
from nurserytui.knowledge.base import load


@pytest.fixture(scope="module")
def knowledge():
    return load()


@pytest.fixture(scope="module")
def stages(knowledge):
    return fitting.stages_tried(knowledge)


def test_the_shape_on_file_is_what_the_script_finds(knowledge, stages):
    found = fitting.best_shape(knowledge, stages)
    assert {field: getattr(found, field) for field in fitting.STEPS} == {
        field: getattr(knowledge.rate_shape, field) for field in fitting.STEPS
    }


def test_the_file_reads_back_what_is_written(knowledge, stages):
    import tomllib

    found = fitting.foretell(knowledge, stages, knowledge.rate_shape)
    written = tomllib.loads(fitting.as_toml(knowledge.rate_shape, found, ["parker-2024"]))["rearing"]
    assert [written[field] for field in knowledge.rate_shape._fields[1:9]] == list(knowledge.rate_shape[1:9])


def test_only_inner_temperatures_are_left_out(knowledge, stages):
    for one in fitting.foretell(knowledge, stages, knowledge.rate_shape):
        tried = {row.temperature for row in stages[one.species, one.stage]}
        assert min(tried) < one.celsius < max(tried)


def test_what_is_left_out_does_not_help_itself(knowledge, stages):
    """A left-out mean that is changed ten-fold leaves what is foretold for it as it was."""
    name = ("Colias eurytheme", "egg")
    changed = [row._replace(mean=row.mean * 10) if row.temperature == 20 else row for row in stages[name]]

    def at_20(rows):
        return [one.days for one in fitting.foretell(knowledge, {name: rows}, knowledge.rate_shape) if one.celsius == 20]

    assert at_20(changed) == at_20(stages[name])
