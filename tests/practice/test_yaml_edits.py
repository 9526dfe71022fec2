"""Values of a YAML text are replaced, put in and taken out, and every other byte of it stays.

What a text holds after an edit is read by PyYAML's own composer with no resolver (BaseLoader), not by our nodes; places
are those that the reader of the folder tells, or that PyYAML's slow scanner tells.
"""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.practice.editing import yaml_text
from kitdocs.practice.editing.csv_text import RowEdit, replace_cells
from kitdocs.practice.editing.differences import TextChange
from kitdocs.practice.editing.edits import GONE, Edit, EditError
from kitdocs.practice.editing.nodes import Node
from kitdocs.practice.editing.yaml_text import Edited, replace_values
from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.yaml_file import read_yaml

EXAMPLE = Path("example_practice")
TEXTS = {path.stem: path.read_text("utf-8") for path in sorted(EXAMPLE.glob("*.yaml"))}
#: Ways of writing that the example has not got.
TEXTS["odd"] = """\
# head, which is about the file

a-one:   # beside the key
    name: 'It''s one'   # beside the value
    price: 9.50
    note: |
      first line
      second line
    # below the record

    folded: >-
      one two
      three
    contents:
    - mirror
    - probe: 2   # two of it
    # about the last
    - scaler
b-two: {name: "Two, too", list: [x, {y: 2, z: [1, 2]}, "q"], empty: {}, none: ,
  more: [ a , b,   # beside b
    c ], last: 1}
c-three: &three
  name: Tab 5#3, no comment without a blank
  nothing:
  always: &often 12%
d-four: *three
e-five: {name: same, share: *often}
# the last words
"""

_ODD_WORDS = (
    """Emergency: pain|Mirror #5|- dash|yes|No|null|~|1-2|08:00|a, b|x: y|[a]|{b}|Sillón ½ 𝄞 ✚|it's|say "so"|007|1e5"""
    '|12%|2026-01-02|*a|&b|!c|%d|@e|`f|a #b|#c|?|? a|> x|\\n|true|6.5"|-|a:|:a|0x1F|1_000|\'|"'
)
#: What a value may look like to YAML, or to people.
NASTY = st.sampled_from([*_ODD_WORDS.split("|"), " lead", "trail ", "", "two\nlines", "\u2028", "|", "| x"])
TEXT = NASTY | st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=150)
VALUE = TEXT | st.integers(-5, 10**9) | st.booleans() | st.decimals(0, 999, places=2).map(float)


def paths(data: Any, at: ValuePath = ()) -> list[ValuePath]:
    """The path of everything in some data."""
    inside = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return ([at] if at else []) + [path for key, part in inside for path in paths(part, (*at, key))]


def held(data: Any, path: ValuePath) -> Any:
    for part in path:
        data = data[part]
    return data


def read(text: str) -> Any:
    """What a text holds: read by the folder's own reader, without a problem."""
    file = read_yaml(text_file("x.yaml", ("x",), text))
    assert not [problem for problem in file.problems if problem.severity == "error"], file.problems
    return json.loads(json.dumps(file.data))  # what is repeated is a copy


def edited(data: Any, path: ValuePath, value: Any) -> Any:
    """Plain data with another value; what loses its last entry goes, too."""
    data = copy.deepcopy(data)
    while True:
        holder = held(data, path[:-1])
        if value is GONE:
            del holder[path[-1]]
        else:
            holder[path[-1]] = value
        if value is not GONE or holder or len(path) == 1:
            return data
        path = path[:-1]


def test_without_an_edit_nothing_changes() -> None:
    for text in TEXTS.values():
        assert replace_values(text, []).text == text


@given(st.data())
def test_only_the_span_of_a_value_changes(data: st.DataObject) -> None:
    stem = data.draw(st.sampled_from(list(TEXTS)))
    text = TEXTS[stem]
    if data.draw(st.booleans()):
        text = text.replace("\n", "\r\n")
    before = read(text)
    scalars = [path for path in paths(before) if not isinstance(held(before, path), dict | list | None)]
    path = data.draw(st.sampled_from([path for path in scalars if path[0] != "d-four" and "share" not in path]))
    value = data.draw(VALUE)
    after = replace_values(text, [Edit(path=path, value=value)]).text

    if path[0] == "c-three":  # a repeat of it is written out, as it was
        assert read(after) == edited(before, path, value)
        return
    assert read(after) == edited(before, path, value)
    root = yaml.compose(text, yaml.SafeLoader)
    start, end = _span(root, path)
    place = read_yaml(text_file("x.yaml", (), text)).values[path]
    assert len(re.split("\r\n|\n", text[:start])) == place.line
    assert after.startswith(text[:start])
    assert after.endswith(text[end:].lstrip("\r\n "))
    assert ("\n" in after.replace("\r\n", "")) == ("\n" in text.replace("\r\n", ""))


def _span(node: Any, path: ValuePath) -> tuple[int, int]:
    for part in path:
        if isinstance(node, yaml.MappingNode):
            node = next(value for key, value in node.value if key.value == part)
        else:
            node = node.value[part]
    return node.start_mark.index, node.end_mark.index


@given(st.data())
def test_after_many_edits_the_data_is_what_was_asked_for_and_other_comments_stay(data: st.DataObject) -> None:
    stem = data.draw(st.sampled_from(list(TEXTS)))
    text = TEXTS[stem]
    before = read(text)
    wanted, edits, touched = before, [], set()
    for _ in range(data.draw(st.integers(1, 4))):
        # a record may have gone with an edit before
        choices = [path for path in paths(wanted) if len(path) > 1 or len(wanted) > 2]
        path = data.draw(st.sampled_from(choices))
        value = data.draw(changed(held(wanted, path)))
        value = value if value is GONE else json.loads(json.dumps(value))  # an item drawn twice is two items
        wanted = edited(wanted, path, value)
        edits.append(Edit(path=path, value=value))
        touched.add(path[0])
    done = replace_values(text, edits)
    assert read(done.text) == wanted
    if stem == "odd":
        touched |= {"d-four", "e-five"}
    for key, lines in _records(text).items():
        if key not in touched and key in wanted:
            assert lines in done.text, key
    lost = [line for line in re.findall(r"(?m)(?:^|\s)(#.*)$", text) if line.strip() not in done.text]
    assert not [line for line in lost if line.strip() not in done.comments]


def test_a_dash_in_the_place_of_a_map_begins_no_list() -> None:
    text = "slim:\n  name: {en: Slim, es: Angosto}\n  price: 88\n"
    done = replace_values(text, [Edit(path=("slim", "name"), value="-")])
    assert done.text == 'slim:\n  name: "-"\n  price: 88\n'


def test_a_question_mark_in_brackets_is_read_by_both_scanners() -> None:
    done = replace_values("a: 1\n", [Edit(path=("name",), value={"en": "0?", "es": "x"})])
    assert yaml.load(done.text, yaml.SafeLoader)["name"] == {"en": "0?", "es": "x"}


def changed(old: Any) -> st.SearchStrategy[Any]:
    """Another value in the place of an old one; lists reordered, maps with fewer and other entries."""
    keys = st.sampled_from(["all of the set", "new-key", "a-1", "x: y", "yes", "#"])
    small = st.dictionaries(keys, VALUE, min_size=1, max_size=3)
    other = VALUE | small | st.lists(VALUE | small, min_size=1, max_size=4) | st.just(GONE)
    if isinstance(old, list):
        return st.permutations(old) | st.lists(st.sampled_from(old), min_size=1) | other
    if isinstance(old, dict) and old:
        fewer = st.sets(st.sampled_from(list(old)), min_size=1).map(lambda kept: {key: old[key] for key in kept})
        return st.tuples(fewer, small).map(lambda both: {**both[0], **both[1]}) | other
    return other


def _records(text: str) -> dict[str, str]:
    """The first lines of each record of a file, before any comment, which may belong to the next."""
    found = re.split(r"(?m)^(?=[a-z][\w-]*:)", text)[1:]
    return {part.partition(":")[0]: "\n".join(re.split(r"\n(?:#|\n|$)", part)[0].split("\n")[:3]) for part in found}


@pytest.mark.parametrize("pair", ['"#": 2.46', "b: 2"])
@pytest.mark.parametrize("around", ["e: [1, {}, x]\n", "e: {{share: [{}]}}   # beside\n", "e:\n  share: [1, {}]\n"])
def test_a_pair_in_a_list_gets_braces_when_it_becomes_more(pair: str, around: str) -> None:
    """A pair without braces in a list, as in ``[a, b: 2]``, has no room for a second one (YAML 1.2.2, 7.4.2)."""
    text = around.format(pair)
    inside = next(path for path in paths(read(text)) if isinstance(held(read(text), path), dict) and len(path) > 1)
    wanted = edited(read(text), inside, {"b": 1, "c d": 2})
    done = replace_values(text, [Edit(path=inside, value={"b": 1, "c d": 2})]).text
    assert read(done) == wanted
    assert done.endswith("# beside\n") == ("# beside" in text)


@given(st.data())
def test_a_new_record_is_put_in_whole_and_nothing_else_moves(data: st.DataObject) -> None:
    stem = data.draw(st.sampled_from(["chairs", "instruments", "cassettes", "sets", "pouches", "procedures"]))
    text = TEXTS[stem]
    before = read(text)
    after = data.draw(st.sampled_from([*before, "", None]))
    record = copy.deepcopy(before[data.draw(st.sampled_from(list(before)))])
    record["name"] = data.draw(TEXT)
    done = replace_values(text, [Edit(path=("new-one",), value=record, after=after)])
    order = list(before)
    place = len(order) if after is None else order.index(after) + 1 if after else 0
    assert list(read(done.text)) == [*order[:place], "new-one", *order[place:]]
    assert read(done.text)["new-one"] == record
    start = next(n for n in range(len(text) + 1) if n == len(text) or text[n] != done.text[n])
    size = len(done.text) - len(text)
    # Where what was put in begins as what follows it, more than one place is right.
    assert any(done.text[:n] + done.text[n + size :] == text for n in range(max(0, start - size), start + 1))
    assert not done.comments


@given(st.data())
def test_a_record_that_is_taken_out_leaves_the_others_as_they_are(data: st.DataObject) -> None:
    stem = data.draw(st.sampled_from(["chairs", "instruments", "cassettes", "sets", "pouches", "procedures"]))
    text = TEXTS[stem]
    before = read(text)
    gone = data.draw(st.sampled_from(list(before)))
    done = replace_values(text, [Edit(path=(gone,), value=GONE)])
    assert read(done.text) == {key: value for key, value in before.items() if key != gone}
    size = len(text) - len(done.text)
    assert any(text[:n] + text[n + size :] == done.text for n in range(len(done.text) + 1))
    comments = re.findall(r"(?:^|\s)(#.*)$", text, re.MULTILINE)
    kept = re.findall(r"(?:^|\s)(#.*)$", done.text, re.MULTILINE)
    assert sorted(comments) == sorted([*kept, *done.comments])


def test_a_moved_item_keeps_its_comment() -> None:
    text = "a:\n  - one   # first\n  - two\n  - three\n"
    done = replace_values(text, [Edit(path=("a",), value=["two", "three", "one"])])
    assert done.text == "a:\n  - two\n  - three\n  - one   # first\n"


def test_decimals_quotes_and_folding_stay() -> None:
    text = TEXTS["odd"]
    edits = [
        Edit(path=("a-one", "name"), value="It's two"),
        Edit(path=("a-one", "price"), value=12.0),
        Edit(path=("a-one", "note"), value="third line\nfourth line"),
        Edit(path=("a-one", "folded"), value="four five"),
    ]
    after = replace_values(text, edits).text
    assert "    name: 'It''s two'   # beside the value\n    price: 12.00\n" in after
    assert "      third line\n      fourth line\n" in after
    assert "    folded: >-\n      four five\n" in after


def test_a_comment_between_records_belongs_to_the_one_below_it() -> None:
    text = "# head\na:\n  x: 1\n  # of a\n\n# of b\nb:\n  x: 2\n\n# of nothing\n\nc: 3\n"
    done = replace_values(text, [Edit(path=("b",), value=GONE)])
    assert done.text == "# head\na:\n  x: 1\n  # of a\n\n# of nothing\n\nc: 3\n"
    assert done.comments == ["# of b"]
    assert replace_values(text, [Edit(path=("a",), value=GONE)]).text.startswith("# head\n")


CSV = 'instrument;"on_hand"; in_repair\r\n mirror ;44;"0"\r\n\r\n"scaler, long";2;\r\n'


def test_cells_are_replaced_and_lines_put_in_and_taken_out() -> None:
    names = ("instrument", "on_hand", "in_repair")
    assert replace_cells(CSV, [], names) == CSV
    done = replace_cells(CSV, [RowEdit(row=0, cells={"on_hand": "45", "in_repair": "1"})], names)
    assert done == CSV.replace('44;"0"', '45;"1"')
    done = replace_cells(
        CSV, [RowEdit(row=0, cells=None), RowEdit(row=1, cells={"instrument": "a;b"}, new=True)], names
    )
    assert done == 'instrument;"on_hand"; in_repair\r\n\r\n"a;b";;\r\n"scaler, long";2;\r\n'
    done = replace_cells("", [RowEdit(row=0, cells={"instrument": "mirror", "on_hand": "3"}, new=True)], names)
    assert done == "instrument,on_hand,in_repair\nmirror,3,\n"
    done = replace_cells(
        "instrument,on_hand\nmirror,1", [RowEdit(row=1, cells={"instrument": "b", "in_repair": "2"}, new=True)], names
    )
    assert done == "instrument,on_hand,in_repair\nmirror,1,\nb,,2\n"


def test_new_rows_in_one_place_stand_in_their_order() -> None:
    new = [RowEdit(row=0, cells={"instrument": name}, new=True) for name in ("a", "b")]
    assert replace_cells("instrument\nc\n", new, ("instrument",)) == "instrument\na\nb\nc\n"


def test_a_text_that_other_programs_take_for_something_else_is_in_quotes() -> None:
    """YAML 1.1: yes and no are truth values, 2026-01-02 is a day, 007 and 1e5 are numbers (yaml.org/type)."""
    for text in ("yes", "No", "off", "2026-01-02", "007", "1e5", "0x1F"):
        done = replace_values("name: Mirror\n", [Edit(path=("name",), value=text)]).text
        assert done == f'name: "{text}"\n'
        assert yaml.safe_load(done) == {"name": text}


def test_an_edit_that_would_go_round_for_ever_is_given_up_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A defect of the steps, put in here, shall not keep a person waiting."""
    told: list[bool] = []

    def to_and_fro(root: Node, target: object, edit: Edit, done: Edited, *, moves: bool) -> list[TextChange]:
        told.append(moves)
        return [TextChange(3, 4, "2" if done.text[3] == "1" else "1")]

    monkeypatch.setattr(yaml_text, "_step", to_and_fro)
    with pytest.raises(EditError):
        replace_values("a: 1\n", [Edit(path=("b",), value=3)])
    assert told == [True, True, False, False], "it tries once more without moving anything"
