"""How long a save takes to show in the preview, as a share of a full build, in one run: a script, not a test.

    python tests/bench/bench_preview.py [folder]

One value after the other is changed in a copy of the folder: a word, a count, a share, a time. A full build is what
``kitdocs handbook`` does after it was started: read, plan, study, pages, sheets, codes read back, tables.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from kitdocs.command.preview import written  # noqa: E402
from kitdocs.handbook.build_handbook import make_handbooks  # noqa: E402
from kitdocs.planning.plan import make_plan  # noqa: E402
from kitdocs.practice.reading.reader import read_practice  # noqa: E402
from kitdocs.publish.handbook_folder import publish_handbook  # noqa: E402
from kitdocs.publish.preview.builds import Builder  # noqa: E402
from kitdocs.report.build_report import make_reports  # noqa: E402
from kitdocs.report.tables import make_tables  # noqa: E402

#: File, what stands there in the example, what is written instead.
EDITS = (
    ("pages/house-rules.md", "# House rules", "# Rules of the house"),
    ("chairs.yaml", "colour: teal", "colour: green"),
    ("procedures.yaml", "per_day: 22", "per_day: 23"),
    ("instruments.yaml", "{en: ", "{en: New "),
)


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch, "practice")
        shutil.copytree(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "example_practice", folder)
        start = time.process_time()
        practice = read_practice(folder)
        plan = make_plan(practice)
        reports = make_reports(practice, plan)
        handbooks = make_handbooks(practice, plan)
        publish_handbook(handbooks, Path(scratch, "out"), reports=reports, tables=make_tables(practice, plan))
        full = time.process_time() - start
        builder = Builder(partial(written, folder))
        start = time.process_time()
        builder.build()
        first = time.process_time() - start
        print(f"full build                      {full:6.2f} s")
        print(f"first build of the preview      {first:6.2f} s")
        shares = []
        for file, old, new in EDITS:
            text = (folder / file).read_text("utf-8")
            if old not in text:
                raise SystemExit(f"{file} has no {old!r}")
            (folder / file).write_text(text.replace(old, new, 1), "utf-8")
            start = time.process_time()
            drawn = len(builder.drawn.fresh)
            build = builder.build()
            took = time.process_time() - start
            shares.append(took / full)
            if not build.good:
                raise SystemExit("\n".join(map(str, build.problems)))
            print(f"{file:24} {took:6.2f} s = {took / full:.3f} of a full build; "
                  f"{len(builder.drawn.fresh) - drawn} pages drawn, {len(build.changed)} files changed")  # fmt: skip
        print(f"median {statistics.median(shares):.3f}, worst {max(shares):.3f} of a full build")


if __name__ == "__main__":
    main()
