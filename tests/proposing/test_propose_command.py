"""`kitdocs propose`: the list, the reasons, the new folder, and what it asks for."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import yaml
from asking import Ask

from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.proposing.yaml_lines import with_fields


def without_a_design(folder: Path) -> Path:
    """What an adviser knows after a first visit: each need by its name, and no set or pouch."""
    practice = read_practice(folder)
    for name in ("sets.yaml", "pouches.yaml"):
        (folder / name).unlink()
    text = re.sub(r"\n  (set|add_ons): .*", "", (folder / "procedures.yaml").read_text("utf-8"))
    daily, _, check = text.partition("\ncheck:")
    parts = [_spelled_out(practice, daily, "adjustment"), _spelled_out(practice, check, "exam")]
    (folder / "procedures.yaml").write_text("\ncheck:".join(parts), "utf-8")
    chairs = (folder / "chairs.yaml").read_text("utf-8")
    (folder / "chairs.yaml").write_text(re.sub(r"\n  drawer:(\n    .*)+", "", chairs), "utf-8")
    return folder


def _spelled_out(practice: Practice, text: str, of: str) -> str:
    needs = "\n".join(f"    {i}: always" for i in practice.contents(of))
    return text.replace("    all of the set: always", needs)


@pytest.mark.whole
def test_from_needs_alone_to_a_folder_that_checks(started: Path, ask: Ask, tmp_path: Path) -> None:
    new = tmp_path / "new"
    run = ask("propose", without_a_design(started), "--to", new, "--handbook", tmp_path / "out")
    assert (run.status, "Balanced" in run.out, "Today" in run.out) == (0, True, False)
    files = {path.name for path in (tmp_path / "out" / "print").glob("*.pdf")}
    assert {"binder.pdf", "refill-cards.pdf", "pouch-lists.pdf", "set-templates.pdf", "plan.pdf"} <= files
    told = " ".join(run.out.split())
    practice = read_practice(new)
    ids = [*practice.sets, *practice.pouches]
    for id_ in ids:
        said = told.split(f"({id_})")[1]
        until = min((said.index(f"({other})") for other in ids if f"({other})" in said), default=len(said))
        for i in practice.contents(id_):
            named = said[:until].count(str(practice.instruments[i].name))
            assert named >= (2 if len(practice.contents(id_)) > 1 else 1), "listed, and with a reason"
    visits = [
        sum(float(record.per_day or 0) for record in practice.procedures.values() if record.set == id_)
        for id_ in sorted(practice.sets, key=lambda id_: told.index(f"({id_})"))
    ]
    assert visits == sorted(visits, reverse=True), "what is for most visits stands first"
    assert "rule of thumb" in run.out
    assert ask("check", new).status == 0
    practice = read_practice(new)
    assert practice.proposal is not None
    assert (practice.proposal.chosen, practice.proposal.today, dict(practice.proposal.before)) == ("balanced", None, {})
    assert "# Written by 'kitdocs propose' (Balanced)" in (new / "sets.yaml").read_text("utf-8")
    assert "# minutes   how long a visit is booked for" in (new / "procedures.yaml").read_text("utf-8")
    assert all(record.set in practice.sets for record in practice.procedures.values())


@pytest.mark.whole
def test_today_stands_beside_with_its_own_plan_and_what_loses_nothing_is_named(started: Path, ask: Ask) -> None:
    """Today's figures come from `kitdocs plan`; what is said of each proposal follows from the figures themselves."""
    said = json.loads(ask("propose", started, "--json").out)
    plan, today = json.loads(ask("plan", started, "--json").out), said["today"]
    practice = read_practice(started)
    assert float(today["to_buy"]) == plan["buying"]["total_in_currency"]
    assert today["kinds"] == len(practice.sets) + len(practice.pouches)
    assert today["pieces"] == sum(
        line["pieces_needed"] for line in plan["buying"]["lines"].values() if line["kind"] == "instrument"
    )
    told = ask("propose", started, "--language", "es", "--choose", "cheapest").out
    row = next(line.split() for line in told.splitlines() if line.startswith("Hoy "))
    assert row[1:4] == [f"{float(today['to_buy']):,.0f}", f"{today['walks_per_day']:.1f}", "4.5"]
    assert row[4:6] == [str(today["kinds"]), f"{today['loads_per_day']:.1f}"]
    without_losses = [
        proposal
        for proposal in said["proposals"]
        if float(proposal["to_buy"]) <= float(today["to_buy"])
        and proposal["walks_per_day"] <= today["walks_per_day"]
        and proposal["kinds"] <= today["kinds"]
    ]
    assert said["at_least_as_good_as_today"] == [proposal["weighing"] for proposal in without_losses]
    assert said["cassettes_without_a_sheet"] == {}
    words = " ".join(told.split())
    assert ("Ninguna propuesta es al menos tan buena" in words) == (not without_losses)
    if not without_losses:
        first = said["proposals"][0]
        more = float(first["to_buy"]) - float(today["to_buy"])
        assert f"«Equilibrada» pierde: +{more:,.0f} USD por comprar." in words
    assert words.count("es al menos tan buena como lo de hoy en") == max(1, len(without_losses))
    assert "La más barata: qué contiene cada uno y por qué" in words


@pytest.mark.whole
def test_the_new_folder_keeps_what_the_design_was_chosen_from_beside_what_was_before(
    started: Path, ask: Ask, tmp_path: Path
) -> None:
    before, new = read_practice(started), tmp_path / "new"
    assert ask("propose", started, "--choose", "thrifty", "--to", new).status == 0
    kept = read_practice(new).proposal
    said = json.loads(ask("propose", started, "--json").out)
    assert kept is not None and kept.today is not None
    listed = [{proposal["weighing"], *proposal["also"]} for proposal in said["proposals"]]
    assert any({"thrifty", kept.chosen} <= names for names in listed), "who asks for it gets what has that name"
    assert {name: float(design.to_buy) for name, design in kept.designs.items()} == {
        proposal["weighing"]: float(proposal["to_buy"]) for proposal in said["proposals"]
    }
    assert (float(kept.today.to_buy), kept.today.kinds) == (float(said["today"]["to_buy"]), said["today"]["kinds"])
    assert [taken.set for taken in kept.before.values()] == [
        before.sets[record.set].name for record in before.procedures.values()
    ]
    (new / "proposal.yaml").write_text("chosen: best\n", "utf-8")
    broken = ask("check", new)
    assert (broken.status, "proposal.yaml:1" in broken.out) == (1, True)


@pytest.mark.whole
def test_no_word_of_the_list_is_broken_in_a_narrow_terminal(started: Path, ask: Ask) -> None:
    told = ask("propose", started, "--language", "es").out
    words = told.split("Cómo podrían ser")[1].split("«")[0].split()
    assert {"Equilibrada", "Caminatas", "comprar,", "Termina"} <= set(words)
    assert max(map(len, told.splitlines())) <= 80


@pytest.mark.whole
def test_json_says_everything_of_every_proposal(started: Path, ask: Ask) -> None:
    said = json.loads(ask("propose", started, "--json", "--kinds", "6").out)
    assert said["candidates"]["sets"] > 1
    assert said["frontier"]["svg"].startswith("<svg") and said["frontier"]["chosen"] == said["proposals"][0]["weighing"]
    assert all(proposal["instruments_cleaned_per_day"] > 0 for proposal in said["proposals"])
    for proposal in said["proposals"]:
        assert len(proposal["sets"]) + len(proposal["pouches"]) == proposal["kinds"] <= 6
        for pack in (*proposal["sets"].values(), *proposal["pouches"].values()):
            assert pack["reasons"]
            assert pack["own"] >= 1
        assert proposal["rule_of_thumb"]["cost"] >= proposal["rule_of_thumb"]["bound"] - 0.01


def test_what_is_wrong_is_said_with_a_way_out(started: Path, ask: Ask, tmp_path: Path) -> None:
    assert ask("propose", started, "--to", started).status == 2
    assert ask("propose", started, "--handbook", tmp_path / "out").status == 2
    assert ask("propose", started, "--to", tmp_path / "new", "--handbook", started).status == 2
    assert not (tmp_path / "new").exists()
    assert "no proposal 'best'" in ask("propose", started, "--choose", "best").err
    assert "no instrument 'miror'" in ask("propose", started, "--apart", "miror,explorer").err
    assert "not two instruments or more" in ask("propose", started, "--together", "mirror, mirror").err
    assert "--kinds is about proposals" in ask("propose", started, "--ends", "17:30", "--kinds", "3").err
    kept = ask("propose", started, "--keep", "exma")
    assert (kept.status, "did you mean 'exam'?" in kept.out) == (1, True)
    (started / "sets.yaml").rename(started / "kept")
    unknown = ask("propose", started)
    assert (unknown.status, "'all of the set' names no set" in unknown.out) == (1, True)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a:\n  set: x   # ours\n  needs: {}\n", "a:\n  set: y\n  add_ons: {p: 5%}\n  needs: {}\n"),
        (
            "# head\na:\n  name: A # why\n  needs:\n    i: always\n\n# tail\n",
            "# head\na:\n  name: A # why\n  set: y\n  add_ons: {p: 5%}\n  needs:\n    i: always\n\n# tail\n",
        ),
        (
            "a:\n  add_ons:\n    q: always\n    r: 5%\n  # kept\n  set: x\nb: {set: x}\n",
            "a:\n  # kept\n  set: y\n  add_ons: {p: 5%}\nb: {set: x}\n",
        ),
        ("a: {name: A, set: x}\n", 'a:\n  name: "A"\n  set: "y"\n  add_ons: {"p": "5%"}\n'),
    ],
)
def test_only_the_lines_of_the_fields_change(before: str, after: str) -> None:
    data = {"a": {"name": "A", "set": "x"}, "b": {"set": "x"}}
    assert with_fields(before, data, {"a": {"set": "y", "add_ons": {"p": "5%"}}}) == after


def test_a_file_that_is_one_map_in_braces_over_several_lines_is_written_line_by_line() -> None:
    text = '{\n "a": {"name": "A",\n  "set": "x"},\n "b": {"name": "B: b"}\n}\n'
    data = yaml.safe_load(text)
    written = yaml.safe_load(
        with_fields(text, data, {"a": {"set": "y", "drawer": {"p": "auto"}}, "b": {"drawer": None}})
    )
    assert written == {"a": {"name": "A", "set": "y", "drawer": {"p": "auto"}}, "b": {"name": "B: b"}}


def test_a_field_that_is_no_more_goes() -> None:
    text = "a:\n  name: A\n  drawer:\n    p: auto\n    q: 2\n  mark: ring\n"
    assert with_fields(text, {"a": {}}, {"a": {"drawer": None}}) == "a:\n  name: A\n  mark: ring\n"


@pytest.mark.whole
def test_what_was_accepted_of_a_set_that_is_gone_goes_with_it_and_the_new_folder_checks_clean(
    started: Path, ask: Ask, tmp_path: Path
) -> None:
    """One instrument that no procedure needs rode along, and one set held what its add-on holds, too."""
    probe = "probe:\n  name: Probe\n  drawing: explorer\n  length: 165 mm\n  width: 9 mm\n  price: 9\n"
    with (started / "instruments.yaml").open("a", encoding="utf-8") as instruments:
        instruments.write("\n" + probe)
    own = read_practice(started)
    held = own.sets["adjustment"].contents
    sets = (started / "sets.yaml").read_text("utf-8")
    (started / "sets.yaml").write_text(
        re.sub(r"(adjustment:[\s\S]*?contents:\n)(\s+)- ", r"\1\2- probe\n\2- ", sets, count=1), "utf-8"
    )
    procedures = (started / "procedures.yaml").read_text("utf-8")
    all_but_it = "all of the set: always\n    probe: never\n"
    (started / "procedures.yaml").write_text(procedures.replace("all of the set: always\n", all_but_it, 2), "utf-8")
    accepted = (
        "\naccepted:  # looked at\n"
        "  - warning: rides-along\n    at: sets.adjustment.contents[1]\n    reason: We like it there.\n"
        "  - warning: unused\n    at: sets.adjustment\n    reason: This never was one.\n"
    )
    settings = (started / "practice.yaml").read_text("utf-8")
    (started / "practice.yaml").write_text(settings + accepted, "utf-8")
    assert read_practice(started).sets["adjustment"].contents == ("probe", *held)
    new = tmp_path / "new"
    assert ask("propose", started, "--to", new).status == 0
    told = ask("check", new)
    assert (told.status, (told.out + told.err).rstrip().endswith("; 1 accepted warning")) == (0, True)
    (entry,) = read_practice(new).settings.accepted
    assert (entry.warning, entry.at) == ("unused", "instruments.probe")
    assert str(entry.reason).endswith("We like it there.")
    written = (new / "practice.yaml").read_text("utf-8")
    assert written.startswith(settings.rstrip("\n")) and "This never was one" not in written
