"""The shipped knowledge base, compiled once, and folders of a few entries for what goes wrong."""

from __future__ import annotations

import pytest

from nurserytui import paths
from nurserytui.knowledge import links, load
from nurserytui.knowledge.base import load as load_base


@pytest.fixture(scope="session")
def knowledge(tmp_path_factory):
    return load_base(own=tmp_path_factory.mktemp("none"), cache=tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session")
def shipped():
    read = load.read(paths.shipped("knowledge"))
    read.faults.extend(links.broken(read))
    return read


SMALL = {
    "sources.toml": '[book]\ncitation = "A book"\nkind = "published"\n[memory]\ncitation = "Recalled"\nkind = "memory"\n',
    "traits.toml": '[colours]\nwhite = ["white"]\n[pupa_forms]\nhanging = ["hanging"]\n[regions]\neurope = ["europe"]\n',
    "species/one.toml": '["Testa prima"]\ncommon = ["first test"]\nhost_families = ["Planta"]\nspecialist = true\n'
    'wintering = { text = "As a pupa.", sources = ["book"] }\n',
    "plants.toml": '["Herba una"]\ncommon = ["one herb"]\nfamily = "Planta"\n["Herba spp."]\ncommon = ["herb"]\nfamily = "Planta"\n',
    "hosts/one.toml": '["Testa prima"."Herba una"]\nrank = "primary"\nsources = ["book"]\n',
}


@pytest.fixture
def folder(tmp_path):
    """Makes a knowledge folder of a few sound entries; files given replace or join them."""

    def make(files: dict[str, str] | None = None, name: str = "base", with_small: bool = True):
        top = tmp_path / name
        for path, text in {**(SMALL if with_small else {}), **(files or {})}.items():
            file = top / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
        top.mkdir(exist_ok=True)
        return top

    return make
