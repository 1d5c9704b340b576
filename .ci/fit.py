"""When the program is built or installed, the weights of the examples are fitted once and shipped, so that the first line typed does not wait."""

from __future__ import annotations

import os
import sys
import tempfile

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class Fitting(BuildHookInterface):
    def initialize(self, version: str, build_data: dict) -> None:
        if self.target_name != "wheel":
            return
        with tempfile.TemporaryDirectory() as cache:
            os.environ["NURSERYTUI_CACHE"] = cache
            sys.path.insert(0, self.root)
            from nurserytui.language import phrases, record_kinds, weighing

            tables = phrases.load()
            weighing.ship(tables, weighing.TOPICS, weighing.features_of)
            weighing.ship(tables, weighing.EVENTS, record_kinds.features_of)
