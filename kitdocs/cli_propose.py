"""The command that proposes sets and pouches."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from kitdocs.cli_options import HERE, Dask, Folder, Json, Quiet


def propose(
    folder: Folder = HERE,
    kinds: Annotated[
        int | None, typer.Option("--kinds", min=1, metavar="N", help="No more kinds of set and pouch than this.")
    ] = None,
    keep: Annotated[
        list[str] | None, typer.Option("--keep", metavar="ID", help="A set or pouch that is settled. Repeat for more.")
    ] = None,
    together: Annotated[
        list[str] | None, typer.Option("--together", metavar="ID,ID", help="Instruments that always lie together.")
    ] = None,
    apart: Annotated[
        list[str] | None, typer.Option("--apart", metavar="ID,ID", help="Instruments that never lie together.")
    ] = None,
    pouches: Annotated[
        int, typer.Option("--pouches", min=0, metavar="N", help="No more add-on pouches for one visit than this.")
    ] = 2,
    ends: Annotated[
        str, typer.Option("--ends", metavar="TIME", help="Ways to a day that ends by then, as 17:30.")
    ] = "",
    budget: Annotated[
        str, typer.Option("--budget", metavar="MONEY", help="Ways to no more than this to buy, as 6000.")
    ] = "",
    chance: Annotated[
        str, typer.Option("--chance", metavar="SHARE", help="Ways to nothing short on so many days, as 99%.")
    ] = "",
    choose: Annotated[
        str, typer.Option("--choose", metavar="NAME", help="The proposal to show and write. Default: the first.")
    ] = "",
    to: Annotated[
        Path | None, typer.Option("--to", metavar="NEW", help="Write a practice folder with it.", show_default=False)
    ] = None,
    handbook: Annotated[
        Path | None,
        typer.Option("--handbook", metavar="OUT", help="With --to: its handbook as well.", show_default=False),
    ] = None,
    language: Annotated[
        str, typer.Option("--language", metavar="en|es|…", help="Default: the folder's first; en with --json.")
    ] = "",
    dask: Dask = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Propose sets and pouches from what procedures need: a short list, each judged by the plan, with its reasons.

    sets.yaml and pouches.yaml may be empty or missing. Ctrl-C ends the search with the best found so far.
    With a wish (--ends, --budget, --chance), answer with the cheapest ways to it instead, for the sets that the folder
    has or, with --choose or where it has none, for a proposal: candidates of room.yaml, start rules and others.
    """
    from kitdocs.cache import user_cache
    from kitdocs.cluster import each_on
    from kitdocs.command.console import console, progress, say
    from kitdocs.command.kept import write_handbook
    from kitdocs.command.proposal_answer import (
        AskingError,
        ProposalsAsked,
        answer_proposals,
        answer_ways,
        proposals_json,
        show_proposals,
        write_chosen,
    )

    wished = bool(ends or budget or chance)
    _refuse(to, handbook, wished=wished)
    with progress(console(stderr=True), quiet=quiet) as tell, each_on(dask) as each:
        asked = ProposalsAsked(
            kinds=kinds,
            pouches=pouches,
            keep=keep or (),
            together=together or (),
            apart=apart or (),
            choose=choose,
            each=each,
        )
        try:
            if wished:
                from kitdocs.command.ways_answer import show_ways, ways_json

                spoken = language or ("en" if as_json else "")
                words, found = answer_ways(folder, asked, (ends, budget, chance), tell, spoken)
                if as_json:
                    print(json.dumps(ways_json(words, found), ensure_ascii=False, indent=1))
                else:
                    show_ways(console(), words, found)
                return
            words, answer, chosen = answer_proposals(folder, asked, tell, language or ("en" if as_json else ""))
        except AskingError as error:
            raise typer.BadParameter(str(error)) from None
        tell("asking the plan for the reasons")
        if to:
            write_chosen(folder, to, answer, chosen)
        if to and handbook:
            write_handbook(to, handbook, user_cache(), tell, partial(say, console(stderr=True)))
        if as_json:
            print(json.dumps(proposals_json(words, answer, chosen), ensure_ascii=False, indent=1))
        else:
            show_proposals(console(), words, answer, chosen)
    if to and not quiet:
        then = f"its handbook is {handbook / 'index.html'}" if handbook else f"next: kitdocs check {to}"
        say(console(stderr=True), f"wrote {to}; {then}")


def _refuse(to: Path | None, handbook: Path | None, *, wished: bool) -> None:
    """Refuse what cannot be written, before anything is worked out: nobody waits for this."""
    from kitdocs.proposing.new_folder import refuse_used
    from kitdocs.publish.folder import refuse_foreign

    if to and wished:
        raise typer.BadParameter("--to writes a proposal; ask for the ways in the folder that it writes")
    if handbook and not to:
        raise typer.BadParameter("--handbook is of the practice folder that --to writes; add --to NEW")
    if to:
        refuse_used(to)
    if handbook:
        refuse_foreign(handbook)
