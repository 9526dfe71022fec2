"""A practice folder with a proposal in it: sets and pouches written anew, all else as it was, comments included.

Of procedures.yaml and chairs.yaml only the lines of `set`, `add_ons` and `drawer` change. The folder is written beside
its place, read again, compared with the proposal, and moved there whole.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from kitdocs.practice.editing.edits import GONE, Edit
from kitdocs.practice.editing.yaml_text import replace_values
from kitdocs.practice.message import Message, message
from kitdocs.practice.model import InstrumentSet, Pouch, Practice, Procedure
from kitdocs.practice.needs import ALL_OF_THE_SET
from kitdocs.practice.problems import KitdocsError, PracticeError, TargetError, path_of
from kitdocs.practice.proposal import ProposalRecord
from kitdocs.practice.reading.common import common_folder
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.values import share_text
from kitdocs.practice.writing import quoted
from kitdocs.proposing.naming import in_each_language
from kitdocs.proposing.proposals import Proposal, Proposals
from kitdocs.proposing.reasons import Reasons
from kitdocs.proposing.record import often, pack_fields, record_lines, record_of
from kitdocs.proposing.yaml_lines import with_fields

#: What belongs to the design that the folder had, and is not taken along.
_LEFT_BEHIND = ("sets.yaml", "pouches.yaml", "proposal.yaml", "printed")
_WIDTH = 118
_UNUSED = ("unused", "instruments")


def write_proposal(
    folder: Path, to: Path, answer: Proposals, proposal: Proposal, why: Reasons, say: Callable[[Message], str]
) -> None:
    """Write `to` as a copy of the practice in `folder`, with a proposal for its design; `say` says the comments.

    Raises `TargetError` when `to` exists and is not empty, `KitdocsError` when it cannot be written.
    """
    refuse_used(to)
    to = to.resolve()
    shared = common_folder(folder)
    if shared and to.parent != folder.resolve().parent:
        raise TargetError(f"{folder} shares records with {shared}; name a new folder in {shared.parent}")
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{to.name}-", dir=to.parent) as beside:
            new = Path(beside) / "folder"
            _copy(folder, new, proposal.practice)
            if shared:  # as seen from where it is written
                shutil.copytree(shared, Path(beside) / shared.name)
            _write(folder, new, proposal, why, say)
            record = record_of(answer, proposal, why.why)
            lines = [*_comment(say(message("propose.file.record")), ""), *record_lines(record)]
            _save(new / "proposal.yaml", "\n".join(lines) + "\n")
            _accept_what_is_left(new, answer.whole, proposal)
            _compare(read_practice(new), proposal.practice, record)
            if to.exists():
                to.rmdir()
            new.rename(to)
    except OSError as error:
        raise KitdocsError(f"{to} cannot be written: {error.strerror or error}") from error


def refuse_used(to: Path) -> None:
    """Raise `TargetError` unless `to` is a new or an empty folder."""
    if to.is_symlink() or (to.exists() and (not to.is_dir() or any(to.iterdir()))):
        raise TargetError(f"{to} already exists and is not empty; name a new folder")


def _copy(folder: Path, new: Path, practice: Practice) -> None:
    known = {*practice.instruments, *practice.sets, *practice.pouches}

    def left_behind(place: str, names: list[str]) -> list[str]:
        hidden = [name for name in names if name.startswith(".")]
        if Path(place) == folder:
            return [*hidden, *(name for name in names if name in _LEFT_BEHIND)]
        return [*hidden, *(n for n in names if Path(place).name == "photos" and n.rpartition(".")[0] not in known)]

    shutil.copytree(folder, new, ignore=left_behind)


def _write(folder: Path, new: Path, proposal: Proposal, why: Reasons, say: Callable[[Message], str]) -> None:
    practice, found = proposal.practice, read_folder(folder)
    if found.older:
        raise PracticeError([found.older])
    raw = found.files
    name = say(message(f"propose.weighing.{proposal.weighing}"))
    head = [say(message("propose.file.head", name=name)), say(message("propose.file.names"))]
    _save(new / "sets.yaml", _file("sets", new, head, practice.sets, raw["sets"].data, why, say))
    _save(new / "pouches.yaml", _file("pouches", new, head, practice.pouches, raw["pouches"].data, why, say))
    procedures = {p: _of_procedure(record, raw["procedures"].data[p]) for p, record in practice.procedures.items()}
    chairs = {c: {"drawer": dict(chair.drawer) or None} for c, chair in practice.chairs.items()}
    for stem, fields in (("procedures", procedures), ("chairs", chairs)):
        path = new / f"{stem}.yaml"
        text = path.read_bytes().decode("utf-8-sig")
        _save(path, with_fields(text, raw[stem].data, fields))


def _of_procedure(record: Procedure, written: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a procedure that change. `all of the set` meant the set that it had: what it meant is written."""
    add_ons = {a: often(share) for a, share in record.add_ons.items()}
    needs = written.get("needs", {})
    short = any(ALL_OF_THE_SET in item for item in ([needs] if isinstance(needs, dict) else needs))
    spelled_out = {"needs": {i: str(need) for i, need in record.needs.items()}} if short else {}
    return {"set": record.set, "add_ons": add_ons or None, **spelled_out}


def _accept_what_is_left(new: Path, before: Practice | None, proposal: Proposal) -> None:
    """Take out of practice.yaml what accepts a warning that the design no longer gives.

    An instrument that rode along in a set, and that no procedure needs, lies nowhere now; that it is not used is
    accepted in its place, with what was said of it.
    """
    read = read_practice(new)
    known = {(p.rule, p.path): p for p in (*read.problems, *proposal.plan.problems) if p.severity == "warning"}
    idle = [entry for entry in read.settings.accepted if (entry.warning, entry.at) not in known]
    if not idle:
        return
    unused = {at[1] for rule, at in ((rule, path_of(at)) for rule, at in known) if (rule, at[0]) == _UNUSED}
    path = new / "practice.yaml"
    text = path.read_bytes().decode("utf-8-sig")
    old = read_folder(new).files["practice"].data["accepted"]
    kept: list[Any] = []
    for entry, written in zip(read.settings.accepted, old, strict=True):
        if entry not in idle:
            kept.append(written)
        elif entry.warning == "rides-along" and (id_ := _lying_at(before, entry.at)) in unused:
            reason = in_each_language(read, partial(message, "propose.file.rode-along", reason=entry.reason))
            said = reason.plain or dict(reason.by_language)
            kept.append({"warning": "unused", "at": f"instruments.{id_}", "reason": said})
    _save(path, replace_values(text, [Edit(path=("accepted",), value=kept or GONE)]).text)


def _lying_at(practice: Practice | None, at: str) -> str:
    """Return which instrument lay at a place as ``sets.core.contents[3]``; nothing where that is not known."""
    _, pack, *rest = (*path_of(at), "", "", -1)
    contents = practice.contents(str(pack)) if practice and pack in (*practice.sets, *practice.pouches) else ()
    index = rest[1]
    return contents[index] if isinstance(index, int) and 0 <= index < len(contents) else ""


def _save(path: Path, text: str) -> None:
    path.write_bytes(text.encode())


def _file(
    stem: str,
    new: Path,
    head: Sequence[str],
    records: Mapping[str, InstrumentSet] | Mapping[str, Pouch],
    raw: Any,
    why: Reasons,
    say: Callable[[Message], str],
) -> str:
    schema = f"schemas/{stem}.schema.json"
    lines = [f"# yaml-language-server: $schema={schema}", "#"] if (new / schema).is_file() else []
    lines += [line for sentence in head for line in _comment(sentence, "")]
    for id_, record in records.items():
        lines += ["", f"{id_}:"]
        for reason in why.of.get(id_, ()):
            lines += _comment(say(reason), "  ")
        written = raw.get(id_) if isinstance(raw, dict) and _is_kept(why, id_, raw) else None
        lines += [f"  {key}: {value}" for key, value in (_as_written(written) if written else pack_fields(record))]
    if not records:
        lines += ["", "{}"]  # none are needed, which a file with nothing in it would not say
    return "\n".join(lines) + "\n"


def _is_kept(why: Reasons, id_: str, raw: Mapping[str, Any]) -> bool:
    return id_ in why.kept and id_ in raw


def _as_written(record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield from ((key, quoted(value)) for key, value in record.items())


def _comment(sentence: str, indent: str) -> Iterable[str]:
    line = f"{indent}#"
    for word in sentence.split():
        if len(line) + 1 + len(word) > _WIDTH:
            yield line
            line = f"{indent}#"
        line += f" {word}"
    yield line


def _compare(read: Practice, wanted: Practice, proposals: ProposalRecord) -> None:
    """The folder says just what the proposal does; it is a mistake of kitdocs where it does not."""
    packs = (
        {id_: practice.contents(id_) for id_ in (*practice.sets, *practice.pouches)} for practice in (read, wanted)
    )
    if next(packs) != next(packs):
        raise RuntimeError("sets and pouches were not written as they are proposed")
    if read.proposal != proposals:
        raise RuntimeError("the proposals were not written as they are")
    for p, record in wanted.procedures.items():
        here, add_ons = read.procedures[p], _rounded(record.add_ons)
        if (here.set, dict(here.add_ons), dict(here.needs)) != (record.set, add_ons, dict(record.needs)):
            raise RuntimeError(f"procedure {p} was not written as it is proposed")
    for c, chair in wanted.chairs.items():
        if dict(read.chairs[c].drawer) != dict(chair.drawer):
            raise RuntimeError(f"chair {c} was not written as it is proposed")


def _rounded(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares as they come back from what is written."""
    return {id_: 1.0 if share == 1 else float(share_text(share)[:-1]) / 100 for id_, share in shares.items()}
