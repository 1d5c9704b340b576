"""The keys that do something here, in one row at the foot: those of the place first, then those of the whole app, as many as fit."""

from __future__ import annotations

from rich.cells import cell_len
from textual.binding import ActiveBinding
from textual.content import Content
from textual.style import Style
from textual.widgets import Static

LAST = "ctrl+p"
"""The key that leads to all others always stands at the end."""


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
            self.update(Content("  ").join(_key(*said) for said in self._fitting(self.size.width)))

    def _fitting(self, width: int) -> list[tuple[str, str, str]]:
        said = [
            (
                each.binding.key,
                self.app.get_key_display(each.binding),
                "All" if each.binding.key == LAST else each.binding.description,
            )
            for each in self._shown()
        ]
        last = [one for one in said if one[0] == LAST]
        used = sum(_width(one) for one in last)
        found = []
        for one in said:
            if one[0] == LAST:
                continue
            used += _width(one)
            if used > width:
                break
            found.append(one)
        return [*found, *last]

    def _shown(self) -> list[ActiveBinding]:
        """Each action once, by its first key; the app's own after those of the place."""
        once: dict[tuple, ActiveBinding] = {}
        for each in self.screen.active_bindings.values():
            if each.enabled and (each.binding.show or each.binding.key == LAST):
                once.setdefault((id(each.node), each.binding.action), each)
        return sorted(once.values(), key=lambda each: (each.node is self.app, each.binding.key == "ctrl+q"))


def _width(said: tuple[str, str, str]) -> int:
    return cell_len(said[1]) + 1 + cell_len(said[2]) + 2


def _key(key: str, shown: str, does: str) -> Content:
    press = Style.from_meta({"@click": f"app.simulate_key({key!r})"})
    return Content.assemble((shown, Style.parse("bold") + press), (f" {does}", press))
