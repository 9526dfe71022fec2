"""The page that says what is wrong with the folder: place, line and remedy."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment

from kitdocs.publish.preview.builds import Build
from kitdocs.publish.site.templates import templates_in
from kitdocs.shipped import shipped_folder


def mistakes_page(build: Build) -> bytes:
    """What is wrong with the folder of `build`, as a page; the last good handbook is one tap away."""
    errors = [problem for problem in build.problems if problem.severity == "error"]
    warnings = [problem for problem in build.problems if problem.severity == "warning" and not problem.accepted]
    return (
        _templates()
        .get_template("mistakes.html.j2")
        .render(errors=errors, warnings=warnings, refused=build.refused, has_last=bool(build.files))
        .encode()
    )


@cache
def own_file(path: str) -> bytes:
    """What the preview brings itself: the script that hears of the next build, the style of the page of mistakes."""
    return (shipped_folder("site_templates") / path).read_bytes()


@cache
def _templates() -> Environment:
    return templates_in("preview")
