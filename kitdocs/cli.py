"""Command line: one thin function per command. `command.boundary` states the exit statuses."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Annotated, Literal, NoReturn

import typer

from kitdocs.cli_check import check
from kitdocs.cli_group import group
from kitdocs.cli_guide import guide
from kitdocs.cli_import import import_
from kitdocs.cli_options import HERE, Dask, Folder, Json, OneLanguage, Quiet, show_version
from kitdocs.cli_propose import propose
from kitdocs.cli_sheets import drawings, survey
from kitdocs.cli_workbook import workbook
from kitdocs.command.boundary import OUT_OF_DATE, run
from kitdocs.planning.colours import MOST_CHAIRS
from kitdocs.publish.preview import USUAL_PORT

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Check a folder that describes a practice's procedure sets, work out its figures and print its handbook.",
    epilog="The makers' instructions, local law and codes, and the practice's licensed people have the last word.",
)


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=show_version, is_eager=True, help="Print the version and exit.")
    ] = False,
) -> None:
    """Take the options that stand before every command."""


app.command()(check)


@app.command()
def plan(
    folder: Folder = HERE,
    why: Annotated[
        str,
        typer.Option("--why", metavar="ID", help="Explain one figure (stock.core), or all about one thing (core)."),
    ] = "",
    set_: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="PATH=VALUE",
            help="Ask what if: procedures.wire-change.per_day=45. Or a whole design: proposal=cheapest, or the folder "
            "that 'propose --to' wrote.",
        ),
    ] = None,
    part: Annotated[
        list[str] | None, typer.Option("--part", metavar="PART", help="Show another part of the report, or all of it.")
    ] = None,
    days: Annotated[
        int | None,
        typer.Option(
            "--days",
            min=1,
            max=100_000,
            help="Number of busy days to simulate. Left out: 1,000 to 2,000, as many as make the promises sure enough.",
        ),
    ] = None,
    seed: Annotated[int, typer.Option("--seed", help="Random seed. The same seed always gives the same days.")] = 1,
    language: Annotated[
        str,
        typer.Option("--language", metavar="en|es|…", help="Default: the folder's first; en with --json."),
    ] = "",
    dask: Dask = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Show the figures (how many, how big, how long, how much) and why. With --set, show what a change would do."""
    from kitdocs.cluster import each_on
    from kitdocs.command.console import console, progress
    from kitdocs.command.plan_answer import (
        ChangeError,
        UnknownError,
        answer_json,
        show_answer,
        studies_asked_for,
        work_out,
    )
    from kitdocs.command.problems_told import problems_json, show_problems

    changes = _changes(set_ or [])
    try:
        with progress(console(stderr=True), quiet=quiet) as tell, each_on(dask) as each:
            studies = studies_asked_for(why, part or [], as_json)
            language = language or ("en" if as_json else "")
            worked = work_out(
                folder, changes, tell, days=days, seed=seed, studies=studies, language=language, each=each
            )
        if as_json:
            print(json.dumps(answer_json(worked, why), ensure_ascii=False, indent=1))
        else:
            show_answer(console(), worked, why, part or [])
    except ChangeError as error:
        if as_json:
            print(problems_json(error.problems))
        else:
            show_problems(console(stderr=True), error.problems)
        raise typer.Exit(2) from None
    except UnknownError as error:
        raise typer.BadParameter(str(error), param_hint="--why" if why else "--part") from None


@app.command()
def colours(
    count: Annotated[int, typer.Argument(metavar="N", min=1, max=MOST_CHAIRS, show_default=False)],
    bays: Annotated[
        str, typer.Option("--bays", metavar="N,N…", help="Chairs in each bay, in walking order: 8,9,8.")
    ] = "",
    as_yaml: Annotated[bool, typer.Option("--yaml", help="Print the chairs as chairs.yaml holds them.")] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Propose a colour and a mark for each of N chairs, which everyone can tell apart, colour-blind or not.

    Up to twelve chairs have colours of their own, the most distinct first. Beyond, colours and marks come again, no
    pair of them twice, and chairs beside each other share neither.
    """
    from kitdocs.command.console import console, progress, trimmed
    from kitdocs.command.swatches import bays_of, chairs_yaml, colours_json, show_colours
    from kitdocs.planning.colours.looks import propose_chairs

    with progress(console(stderr=True), quiet=quiet) as tell:
        tell("comparing colours")
        chairs = propose_chairs(bays_of(bays, count))
    if as_json:
        print(json.dumps(colours_json(chairs), ensure_ascii=False, indent=1))
    elif as_yaml:
        print(chairs_yaml(chairs), end="")
    else:
        with trimmed(console()):
            show_colours(console(), chairs)


@app.command()
def handbook(
    to: Annotated[Path, typer.Option("--to", metavar="OUT", help="Folder to write.", show_default=False)],
    folder: Folder = HERE,
    fresh: Annotated[bool, typer.Option("--fresh", help="Use no result of an earlier run.")] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write the handbook: the site and the sheets to print, all or nothing."""
    from kitdocs.cache import user_cache
    from kitdocs.command.console import console, progress, say
    from kitdocs.command.kept import write_handbook
    from kitdocs.command.problems_told import plain_problems, show_problems
    from kitdocs.publish.folder import refuse_foreign

    refuse_foreign(to)  # before the plan is worked out: nobody waits for this
    with progress(console(stderr=True), quiet=quiet) as tell:
        told = partial(say, console(stderr=True))
        built, changed = write_handbook(folder, to, user_cache(fresh=fresh), tell, told)
    if as_json:
        print(
            json.dumps(
                {
                    "folder": str(to),
                    "cards": built.cards,
                    "changed": changed,
                    "problems": plain_problems(built.problems),
                }
            )
        )
        return
    show_problems(console(), [problem for problem in built.problems if not problem.accepted])
    if not quiet:
        done = "wrote" if changed else "nothing changed in"
        say(console(), f"{done} {to}: {built.cards} cards; open {to / 'index.html'}")


@app.command()
def printed(
    folder: Folder = HERE,
    cards: Annotated[
        list[str] | None,
        typer.Option("--cards", metavar="ID|KIND|PLACE", help="Only these, as in r/chair-1,wall,labels. Default: all."),
    ] = None,
    by: Annotated[str, typer.Option("--by", metavar="NAME-OR-ROLE", help="Who posted them. A role will do.")] = "",
    date: Annotated[str, typer.Option("--date", metavar="DAY", help="For example 2026-11-25. Default: today.")] = "",
    language: OneLanguage = "",
    undo: Annotated[bool, typer.Option("--undo", help="Take the last record back, and record nothing.")] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Record that the cards were printed and posted as they are now, so that `changes` finds what is out of date.

    Asks first where cards are not as in the last handbook, or no handbook is known: they may hang as they were.
    """
    from kitdocs.command.console import console, progress
    from kitdocs.command.kept import read_and_plan
    from kitdocs.command.posted import recorded_json, show_recorded
    from kitdocs.command.printed import make_sure, refuse_unknown, take_back
    from kitdocs.library import record_printing
    from kitdocs.revisions.record import chosen_cards, day_of, posted_by

    if undo:
        if cards or by or date or language:
            raise typer.BadParameter("it takes the whole last record back; leave the others out", param_hint="--undo")
        take_back(folder, as_json=as_json, quiet=quiet)
        return
    try:
        day = day_of(date)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--date") from None
    try:
        by = posted_by(by)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--by") from None
    with progress(console(stderr=True), quiet=quiet) as tell:
        practice, plan, handbooks = read_and_plan(folder, tell)
        refuse_unknown(language, handbooks)
        try:
            chosen = chosen_cards(cards, handbooks, practice.printed)
        except ValueError as error:
            raise typer.BadParameter(str(error), param_hint="--cards") from None
        tell("numbering the binder sheets")
        try:
            sure = make_sure(folder, tell, asks=not (as_json or quiet))
            new = record_printing(
                folder, practice, plan, handbooks, cards=chosen, by=by, day=day, language=language, sure=sure
            )
        except ValueError as error:
            raise typer.BadParameter(str(error), param_hint="--date") from None
    if as_json:
        print(json.dumps(recorded_json(new), ensure_ascii=False, indent=1))
    elif not quiet:
        show_recorded(console(), new)


@app.command()
def changes(
    folder: Folder = HERE,
    to: Annotated[
        Path | None, typer.Option("--print", metavar="OUT.pdf", help="Also write the sheets to replace.")
    ] = None,
    language: OneLanguage = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Show what has changed since the cards were printed, card by card. Exit status 4 if any card is out of date."""
    from kitdocs.command.console import console, progress
    from kitdocs.command.kept import read_and_plan
    from kitdocs.command.posted import changes_json, show_changes, show_files
    from kitdocs.command.printed import refuse_unknown, remember_replacements
    from kitdocs.library import refuse_other, write_replacements
    from kitdocs.revisions.replacements import since_printed

    if to:
        refuse_other(to)
    with progress(console(stderr=True), quiet=quiet) as tell:
        practice, plan, handbooks = read_and_plan(folder, tell)
        refuse_unknown(language, handbooks)
        tell("comparing the cards")
        since = since_printed(practice, plan, handbooks, language)
        files = []
        if to and since.since:  # before the first print run there is nothing to replace
            tell("setting the sheets to replace")
            files = write_replacements(since, handbooks, to)
            remember_replacements(folder, since, handbooks)
    if as_json:
        print(json.dumps(changes_json(since, plan.figures, files), ensure_ascii=False, indent=1))
    else:
        show_changes(console(), since, plan.figures, folder, practice.printed)
        if to and since.since:
            show_files(console(), files, to)
    raise typer.Exit(0 if since.current else OUT_OF_DATE)


@app.command()
def preview(
    folder: Folder = HERE,
    port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 picks a free one.")] = USUAL_PORT,
    lan: Annotated[bool, typer.Option("--lan", help="Let phones on the same network open it, too.")] = False,
) -> None:
    """Show the site on this computer while you edit the folder. Every save updates it."""
    from kitdocs.command.console import console
    from kitdocs.command.preview import preview as show_preview

    show_preview(console(), folder, port=port, lan=lan)


app.command("import")(import_)
app.command()(propose)
app.command()(group)
app.command()(guide)
app.command()(survey)
app.command()(workbook)
app.command()(drawings)


@app.command()
def start(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER", help="A new folder, or an empty one. Default: the current one.", show_default=False
        ),
    ] = HERE,
    like: Annotated[
        Literal["ortho-small", "ortho-large", "pedodontic", "surgery"],
        typer.Option("--like", help="Of which kind: orthodontics with two chairs or eight, children, minor surgery."),
    ] = "ortho-small",
    quiet: Quiet = False,
) -> None:
    """Create a small practice folder. Its comments teach the format."""
    from kitdocs.command.console import console, say
    from kitdocs.starter import start as start_folder

    files = start_folder(folder, like)
    if not quiet:
        say(console(), f"made {folder} with {len(files)} files; next: kitdocs check {folder}")
        say(console(), f"lists of your own come in with: kitdocs import inventory.xlsx {folder}")


@app.command()
def words(
    folder: Folder = HERE,
    language: Annotated[
        str, typer.Argument(metavar="LANGUAGE", help="Language code, as in fr; may stand alone.", show_default=False)
    ] = "",
    to_po: Annotated[
        Path | None, typer.Option("--po", metavar="NEW.po", help="Also write a PO file, for a translator's program.")
    ] = None,
    from_po: Annotated[
        Path | None, typer.Option("--from-po", metavar="FILE.po", help="Take over what a PO file translates.")
    ] = None,
    quiet: Quiet = False,
) -> None:
    """Write words.LANGUAGE.yaml, to translate what kitdocs says. Translations in it are kept, comments are not."""
    from kitdocs.command.console import console, say
    from kitdocs.practice.sentences import letters_missing
    from kitdocs.starter.words_file import write_words

    if not language:  # 'kitdocs words fr', in the folder itself
        folder, language = HERE, str(folder)
    if language == str(HERE):
        raise typer.BadParameter("name a language, as in fr", param_hint="LANGUAGE")
    written = write_words(folder, language, from_po=from_po, to_po=to_po)
    done = (
        "nothing left to translate"
        if not written.missing
        else f"{written.missing} of {written.all} sentences left to translate"
    )
    if not quiet:
        say(console(), f"wrote {written.path}: {done}")
    if missing := letters_missing(language):
        say(console(), f"{missing}: without it, write '{language}' in Latin letters")


@app.command()
def schema(
    file: Annotated[str, typer.Argument(metavar="FILE", help="For example sets.yaml. Default: all files.")] = "",
) -> None:
    """Print the JSON Schema of the practice files, for an editor that completes and checks as you type.

    Of a table, stock.csv or schedule.csv, print its columns and an example.
    """
    from kitdocs.command.columns_told import is_table, table_text
    from kitdocs.practice.schema import TABLES, schemas

    known = schemas()
    if is_table(file):
        print(table_text(file.removesuffix(".csv")))
        return
    if file and file not in known:
        files = ", ".join([*known, *(f"{stem}.csv" for stem in TABLES)])
        raise typer.BadParameter(f"no schema for '{file}'; choose from {files}")
    print(json.dumps(known[file] if file else known, indent=2, ensure_ascii=False))


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command. Report every error in words, without a traceback."""
    run(app, arguments)


def _changes(texts: Sequence[str]) -> dict[str, str]:
    from kitdocs.command.plan_answer import changes_of

    try:
        return changes_of(texts)
    except ValueError as error:
        raise typer.BadParameter(str(error), param_hint="--set") from None
