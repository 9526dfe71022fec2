"""The arguments and options that several commands have."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from kitdocs.version import __version__

Folder = Annotated[
    Path, typer.Argument(metavar="FOLDER", help="The practice folder. Default: the current one.", show_default=False)
]
PdfFile = Annotated[Path, typer.Option("--to", metavar="FILE.pdf", help="The file to write.", show_default=False)]
Json = Annotated[bool, typer.Option("--json", help="Print JSON for another program.")]
Quiet = Annotated[
    bool, typer.Option("--quiet", "-q", help="Print only problems and answers: no progress, no closing line.")
]
OneLanguage = Annotated[
    str, typer.Option("--language", metavar="en|es|…", help="Only what is printed in it.", show_default=False)
]
Dask = Annotated[
    str,
    typer.Option(
        "--dask", metavar="ADDRESS", help="Work on a Dask cluster, as tcp://10.0.0.4:8786. Needs kitdocs\\[group]."
    ),
]
#: The current folder, where none is named.
HERE = Path()


def show_version(asked: bool) -> None:
    """Print the version and exit, when asked to."""
    from kitdocs.command.console import console, say

    if asked:
        say(console(), f"kitdocs {__version__}")
        raise typer.Exit
