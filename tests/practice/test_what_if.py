"""Changes: another value for one place, without touching a file."""

from __future__ import annotations

import pytest
from bad_inputs import VALID

from kitdocs.practice.problems import PracticeError, path_of, written
from kitdocs.practice.reading.reader import read_practice


def test_a_change_holds_instead_of_what_is_written() -> None:
    changed = read_practice(
        VALID,
        {
            "procedures.wire-change.per_day": "45",
            "practice.service": "99%",
            "sets.core.contents[2]": "cutter",
            "sets.core.contents[3]": "weingart",
            "stock.mirror.on_hand": "3",
            "chairs.teal-chair.drawer": "{loose-band: 7}",
        },
    )
    assert changed.procedures["wire-change"].per_day == 45
    assert changed.settings.service == pytest.approx(0.99)
    assert changed.sets["core"].contents == ("mirror", "cutter", "weingart")
    assert changed.stock["mirror"].on_hand == 3
    assert changed.chairs["teal-chair"].drawer == {"loose-band": 7}
    assert read_practice(VALID).procedures["wire-change"].per_day == 34


@pytest.mark.parametrize(
    ("where", "value", "told"),
    [
        ("procedures.wire-chang.per_day", "45", "there is no 'procedures.wire-chang'"),
        ("procedure.wire-change.per_day", "45", "there is no file 'procedure'"),
        ("procedures.wire-change.per_dy", "45", "a procedure has no key 'per_dy'"),
        ("procedures.wire-change.per_day", "many", "'many' is not a plain number"),
        ("sets.core.contents[9]", "mirror", "there is no 'sets.core.contents[9]'"),
        ("sets.core.contents[1]", "miror", "there is no instrument 'miror' in instruments.yaml"),
        ("sets.core.contents", "[mirror", "the bracket '[' that opens here is not closed"),
        ("sets", "x", "does not say which value to change"),
    ],
)
def test_a_change_that_cannot_be_made_says_so_at_the_change(where: str, value: str, told: str) -> None:
    with pytest.raises(PracticeError) as caught:
        read_practice(VALID, {where: value})
    assert any(p.place.file == "(change)" and told in str(p.message) for p in caught.value.problems), str(caught.value)


def test_a_path_is_read_as_it_is_written() -> None:
    for path in (("sets", "core", "contents", 3), ("practice", "accepted", 0, "at"), ("room",)):
        assert path_of(written(path)) == path
