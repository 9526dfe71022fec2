"""A plain colour's name in every built-in language, of whose words no more is read for it than the names of colours."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from kitdocs.practice import sentences
from kitdocs.practice.colours import NAMED, colour
from kitdocs.practice.sentences import shipped_sentence, shipped_sentences
from kitdocs.shipped import shipped_languages


@pytest.mark.parametrize("name", NAMED)
def test_a_plain_colour_has_its_name_in_every_language(name: str) -> None:
    named = dict(colour(name).name.by_language)
    assert named == {language: shipped_sentences(language)[f"colour.{name}"] for language in shipped_languages()}


def test_one_sentence_is_read_from_its_own_file(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []

    def loaded(path: Path) -> Any:
        read.append(f"{path.parent.name}/{path.name}")
        return {"teal": "verde azulado"}

    monkeypatch.setattr(sentences, "_loaded", loaded)
    sentences._of_file.cache_clear()
    try:
        assert shipped_sentence("es", "colour.teal") == "verde azulado"
    finally:
        sentences._of_file.cache_clear()
    assert read == ["es/colour.yaml"]
