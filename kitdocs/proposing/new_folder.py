"""A practice folder with a proposal in it: sets and pouches written anew, all else as it was, comments included.

Of procedures.yaml and chairs.yaml only the lines of `set`, `add_ons` and `drawer` change. The folder is written beside
its place, read again, compared with the proposal, and moved there whole.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from kitdocs.practice.message import Message, message
from kitdocs.practice.model import InstrumentSet, Pouch, Practice, Procedure
from kitdocs.practice.needs import ALL_OF_THE_SET
from kitdocs.practice.problems import KitdocsError, TargetError
from kitdocs.practice.proposal import ProposalRecord
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.values import Text, share_text
from kitdocs.practice.writing import quoted, scalar
from kitdocs.proposing.proposals import Proposal, Proposals
from kitdocs.proposing.reasons import Reasons
from kitdocs.proposing.record import record_lines, record_of
from kitdocs.proposing.yaml_lines import with_fields

#: What belongs to the design that the folder had, and is not taken along.
_LEFT_BEHIND = ("sets.yaml", "pouches.yaml", "proposal.yaml", "printed")
_WIDTH = 118


def write_proposal(
    folder: Path, to: Path, answer: Proposals, proposal: Proposal, why: Reasons, say: Callable[[Message], str]
) -> None:
    """Write `to` as a copy of the practice in `folder`, with a proposal for its design; `say` says the comments.

    Raises `TargetError` when `to` exists and is not empty, `KitdocsError` when it cannot be written.
    """
    refuse_used(to)
    to = to.resolve()
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{to.name}-", dir=to.parent) as beside:
            new = Path(beside) / "folder"
            _copy(folder, new, proposal.practice)
            _write(folder, new, proposal, why, say)
            record = record_of(answer, proposal)
            lines = [*_comment(say(message("propose.file.record")), ""), *record_lines(record)]
            _save(new / "proposal.yaml", "\n".join(lines) + "\n")
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
    practice, raw = proposal.practice, read_folder(folder).files
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
    add_ons = {a: _often(share) for a, share in record.add_ons.items()}
    needs = written.get("needs", {})
    short = any(ALL_OF_THE_SET in item for item in ([needs] if isinstance(needs, dict) else needs))
    spelled_out = {"needs": {i: str(need) for i, need in record.needs.items()}} if short else {}
    return {"set": record.set, "add_ons": add_ons or None, **spelled_out}


def _save(path: Path, text: str) -> None:
    path.write_bytes(text.encode())


def _often(share: float) -> str:
    return "always" if share == 1 else share_text(share)


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
        lines += [f"  {key}: {value}" for key, value in (_as_written(written) if written else _fields(record))]
    return "\n".join(lines) + "\n"


def _is_kept(why: Reasons, id_: str, raw: Mapping[str, Any]) -> bool:
    return id_ in why.kept and id_ in raw


def _as_written(record: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    yield from ((key, quoted(value)) for key, value in record.items())


def _fields(record: InstrumentSet | Pouch) -> Iterator[tuple[str, str]]:
    yield "name", _text(record.name)
    yield "code", scalar(record.code)
    if isinstance(record, InstrumentSet):
        yield from (("cassette", record.cassette), ("mark", record.mark))
    else:
        yield from (("kind", record.kind), ("size", record.size))
    if record.implant_related:
        yield "implant_related", "true"
    yield "contents", f"[{', '.join(record.contents)}]"


def _text(text: Text) -> str:
    if text.plain:
        return quoted(text.plain)
    return "{" + ", ".join(f"{language}: {quoted(words)}" for language, words in text.by_language) + "}"


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


def _packs(practice: Practice) -> dict[str, tuple[str, ...]]:
    return {id_: practice.contents(id_) for id_ in (*practice.sets, *practice.pouches)}


def _rounded(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares as they come back from what is written."""
    return {id_: 1.0 if share == 1 else float(share_text(share)[:-1]) / 100 for id_, share in shares.items()}
