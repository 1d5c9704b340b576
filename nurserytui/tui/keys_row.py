"""The keys that do something here, in one row at the foot: those of the place first, then those of the whole app, as many as fit."""

from __future__ import annotations

from typing import NamedTuple

from rich.cells import cell_len
from textual.binding import ActiveBinding, Binding
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

LAST = "ctrl+p"
"""The key that leads to all others always stands at the end."""
ALWAYS = ("escape", LAST)
"""Keys that are named however little room there is: the way back, and the way to all others."""

GAP = 2
"""Columns between two of them."""


class Said(NamedTuple):
    """Keys that do one thing, or one thing either way."""

    keys: tuple[tuple[str, str], ...]
    """(key, as it is shown)"""
    does: str

    @property
    def width(self) -> int:
        return sum(cell_len(shown) + 1 for _, shown in self.keys) + cell_len(self.does) + GAP


class KeysRow(Static):
    """One widget, however many keys: it is drawn anew when other keys apply, and each can be clicked."""

    DEFAULT_CSS = """
    KeysRow { dock: bottom; height: 1; width: 1fr; background: $surface; text-wrap: nowrap; text-overflow: clip; padding: 0 1; }
    """

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.write())

    def on_resize(self) -> None:
        self.call_after_refresh(self.write)  # what stands above it is shown first

    def write(self) -> None:
        """Draw the keys that apply now."""
        if self.is_attached and self.size.width:
            self.update(Content("  ").join(_key(said) for said in self._fitting(self.size.width)))

    def _fitting(self, width: int) -> list[Said]:
        """As many as fit, each whole; keys of a group share their words where they would not all fit by themselves."""
        shown = self._shown()  # once: what the desk's thread does meanwhile lets a key come or go
        single = [
            Said(
                ((each.binding.key, self.app.get_key_display(each.binding)),),
                "All" if each.binding.key == LAST else each.binding.description,
            )
            for each in shown
        ]
        said = single if sum(one.width for one in single) - GAP <= width else _grouped(shown, single)
        used = sum(one.width for one in said if _always(one)) - GAP
        found = []
        for one in said:
            if _always(one):
                found.append(one)
            elif used <= width:
                used += one.width
                if used <= width:
                    found.append(one)
        return sorted(found, key=lambda one: one.keys[0][0] == LAST)

    def _shown(self) -> list[ActiveBinding]:
        """Each action once, by its first key; the app's own after those of the place."""
        once: dict[tuple, ActiveBinding] = {}
        for each in self.screen.active_bindings.values():
            if each.enabled and (each.binding.show or each.binding.key == LAST):
                once.setdefault((id(each.node), each.binding.action), each)
        return sorted(once.values(), key=lambda each: (each.node is self.app, each.binding.key == "ctrl+q"))


def _grouped(shown: list[ActiveBinding], single: list[Said]) -> list[Said]:
    """The keys of each group as one, where the first of them stands."""
    found: dict[object, Said] = {}
    for each, one in zip(shown, single, strict=True):
        group = each.binding.group
        name = group if group is not None else one.keys
        before = found.get(name)
        keys = before.keys + one.keys if before else one.keys
        found[name] = Said(keys, group.description if group is not None else one.does)
    return list(found.values())


def _always(said: Said) -> bool:
    return said.keys[0][0] in ALWAYS


def bound(key: str, action: str, label: str, does: str, **more) -> Binding:
    """A key with its word for the row at the foot and its sentence for the palette."""
    return Binding(key, action, label, tooltip=does, **more)


def _key(said: Said) -> Content:
    parts = []
    for key, shown in said.keys:
        press = Style.from_meta({"@click": f"app.simulate_key({key!r})"})
        parts += [(f"{shown} ", Style.parse("bold") + press)]
    return Content.assemble(*parts, (said.does, press))
