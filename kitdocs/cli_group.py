"""`kitdocs group`: many practices at once, their handbooks, and how they compare."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from kitdocs.cli_options import Dask, Json, Quiet


def group(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="The folder that holds the practice folders.", show_default=False)
    ],
    to: Annotated[Path, typer.Option("--to", metavar="OUT", help="Folder to write.", show_default=False)],
    without_handbooks: Annotated[
        bool, typer.Option("--without-handbooks", help="Only compare: write no practice's handbook.")
    ] = False,
    processes: Annotated[
        int | None,
        typer.Option(
            "--processes",
            min=1,
            metavar="N",
            help="Practices worked on at once. Default: as many as there are cores.",
            show_default=False,
        ),
    ] = None,
    dask: Dask = "",
    fresh: Annotated[bool, typer.Option("--fresh", help="Use no result of an earlier run.")] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write the handbook of every practice below a folder, and compare them: figures, what can move, what to buy.

    OUT/NAME is the handbook of the practice in FOLDER/NAME, OUT/group/index.html the page of all. A practice with
    errors stops none of the others; the exit status is then 1.
    """
    from kitdocs.command.boundary import PROBLEMS
    from kitdocs.command.console import console, progress, say
    from kitdocs.group.answer import answer_json, answer_lines
    from kitdocs.group.publishing import publish_group
    from kitdocs.publish.print.workers import usable_cores

    if dask and processes:
        raise typer.BadParameter("the cluster has its own; leave --processes out", param_hint="--dask")
    with progress(console(stderr=True), quiet=quiet) as tell:
        published = publish_group(
            folder,
            to,
            processes=processes or usable_cores(),
            cluster=dask,
            handbooks=not without_handbooks,
            fresh=fresh,
            tell=tell,
            say=partial(say, console(stderr=True)),
        )
    if as_json:
        print(json.dumps(answer_json(published, to), ensure_ascii=False, indent=1))
    else:
        for line in answer_lines(published, to, quiet=quiet):
            say(console(), line)
    raise typer.Exit(0 if published.group.is_good else PROBLEMS)
