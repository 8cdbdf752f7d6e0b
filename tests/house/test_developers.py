"""DEVELOPERS.md and README.md speak of what is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.house.tree import ROOT, files, text_of

PAPERS = ("README.md", "DEVELOPERS.md", "resources/LICENCES.md")
_TOPS = ("trialbench/", "tests/", "resources/", "example_trials/", ".ci/", "pyproject.toml")


def _exists(name: str) -> bool:
    return (ROOT / name).exists() and any(f == name or f.startswith(f"{name}/") for f in files())


@pytest.mark.parametrize("paper", PAPERS)
def test_every_file_that_is_named_is_there(paper):
    named = re.findall(r"`([^`\s]+)`", text_of(paper) or "")
    missing = [n for n in named if n.startswith(_TOPS) and not _exists(n.rstrip("/"))]
    assert missing == []


@pytest.mark.parametrize("paper", PAPERS)
def test_every_link_leads_somewhere(paper):
    links = re.findall(r"\]\(([^)#\s]+)\)", text_of(paper) or "")
    near = [Path(paper).parent / link for link in links if "://" not in link]
    assert [str(link) for link in near if not _exists(str(link))] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_every_module_that_is_named_is_there(paper):
    named = re.findall(r"\b((?:trialbench|tests)(?:\.[a-z_]+)+)\b", text_of(paper) or "")
    missing = []
    for name in named:
        path = name.replace(".", "/")
        if not (path.endswith(("/py", "/pot")) or _exists(path) or _exists(f"{path}.py")):
            missing.append(name)
    assert missing == []


def test_the_plan_of_the_house_names_every_room():
    rooms = {name.split("/")[1] for name in files() if name.startswith("trialbench/")}
    rooms.discard("__init__.py")
    plan = set(re.findall(r"`trialbench/([a-z_.]+)`", text_of("DEVELOPERS.md") or ""))
    assert rooms - {"_shipped"} <= plan
