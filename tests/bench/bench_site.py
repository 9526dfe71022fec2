"""What the site of the example costs beside bare Jinja2 and bare writing, in one run: a script, not a test.

    python tests/bench/bench_site.py [rounds]

Bare is: the same templates with the same contexts rendered by a plain Environment, and the same bytes written to a
folder, each file once. kitdocs is: `site` from the handbooks and `write_folder` to a new folder. The two take turns.
Prints the ratio of their medians, and which part of the rest goes where.
"""

from __future__ import annotations

import cProfile
import gc
import pstats
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from jinja2 import Environment  # noqa: E402

from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.folder import write_folder  # noqa: E402
from kitdocs.publish.site.build_site import site  # noqa: E402
from kitdocs.publish.site.templates import environment, templates_in  # noqa: E402
from kitdocs.report.build_report import make_reports  # noqa: E402

Rendered = list[tuple[str, Mapping[str, Any]]]


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    practice = read_practice(ROOT / "example_practice")
    plan = make_plan(practice, days=100)
    handbooks, reports = make_handbooks(practice, plan), make_reports(practice, plan, ())
    rendered = recorded(lambda: site(handbooks, reports))
    files = site(handbooks, reports)
    plain = plain_environment()
    drawn = {plain.get_template(name).render(context).encode() for name, context in rendered}
    assert drawn <= set(files.values()), "the bare pages are not the same pages"

    def bare(folder: Path) -> None:
        for name, context in rendered:
            plain.get_template(name).render(context).encode()
        for path, content in files.items():
            target = folder / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)

    def kitdocs(folder: Path) -> None:
        write_folder(folder, site(handbooks, reports))

    took: dict[str, list[float]] = {"bare": [], "kitdocs": []}
    for _ in range(rounds):
        for name, work in (("bare", bare), ("kitdocs", kitdocs)):
            took[name].append(timed(work))
    size = sum(map(len, files.values())) / 2**20
    once, ours = (statistics.median(took[name]) for name in ("bare", "kitdocs"))
    print(f"{len(rendered)} pages, {len(files)} files, {size:.1f} MiB; medians of {rounds} rounds, taken in turn")
    print(f"bare Jinja2 and bare writing   {1000 * once:6.0f} ms")
    print(
        f"kitdocs, drawn and written     {1000 * ours:6.0f} ms: {ours / once:.2f} times bare (at most 2 is asked for)"
    )
    if "--where" in sys.argv:
        with cProfile.Profile() as profile:
            timed(kitdocs)
        pstats.Stats(profile).sort_stats("cumulative").print_stats(40)


def timed(work: Callable[[Path], None]) -> float:
    """Seconds that `work` takes to fill a new folder; clearing up does not count."""
    above = Path(tempfile.mkdtemp())
    gc.collect()
    start = time.perf_counter()
    work(above / "out")
    took = time.perf_counter() - start
    shutil.rmtree(above)
    return took


def recorded(work: Callable[[], object]) -> Rendered:
    """Which templates `work` renders, and with what."""
    rendered: Rendered = []
    templates = environment()
    get_template = templates.get_template

    class Recording:
        def __init__(self, name: str) -> None:
            self.name = name

        def render(self, context: Mapping[str, Any]) -> str:
            rendered.append((self.name, context))
            return get_template(self.name).render(context)

    def asked(name: str, *within: Any) -> Any:
        """A template asks for its layout and its macros `within` itself; that is no page."""
        return get_template(name, *within) if within else Recording(name)

    templates.get_template = asked  # type: ignore[assignment]
    try:
        work()
    finally:
        del templates.get_template
    return rendered


def plain_environment() -> Environment:
    """An Environment of our options and filters, and nothing else of ours."""
    plain = templates_in("site")
    plain.filters.update(environment().filters)
    return plain


if __name__ == "__main__":
    main()
