"""`kitdocs check`: everything that is wrong with a practice folder; and the folder rewritten in the newest format."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from kitdocs.cli_options import HERE, Folder, Json, Quiet

if TYPE_CHECKING:
    from kitdocs.practice.upgrading import Upgrade


def check(
    folder: Folder = HERE,
    upgrade: Annotated[
        bool,
        typer.Option(
            "--upgrade", help="First rewrite a folder of an older format in the newest; comments and order stay."
        ),
    ] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Check a practice folder. Report every problem at once, with its line and a remedy."""
    from kitdocs.command.boundary import PROBLEMS
    from kitdocs.command.checking import checked
    from kitdocs.command.console import console, progress, say
    from kitdocs.command.problems_told import has_errors, problems_json, show_problems, summary
    from kitdocs.practice.upgrading import upgrade as rewrite

    if upgrade:
        done = rewrite(folder)
        for line in _told(done):
            if not quiet or done.texts:
                say(console(stderr=as_json), line)
    with progress(console(stderr=True), quiet=quiet) as tell:
        practice, problems = checked(folder, tell)
    if as_json:
        print(problems_json(problems))
    else:
        show_problems(console(), problems)
        if not quiet:
            say(console(), summary(practice, problems))
    raise typer.Exit(PROBLEMS if has_errors(problems) else 0)


def _told(done: Upgrade) -> list[str]:
    """Return what an upgrade did, line by line."""
    if not done.texts:
        return [f"format {done.before} is the newest; nothing to rewrite"]
    lines = [f"rewrote {', '.join(done.texts)}: format {done.before} is now format {done.after}"]
    lines += [f"new: {news}" for news in done.news]
    return lines + [f"a comment went with what was taken out: {comment}" for comment in done.comments]
