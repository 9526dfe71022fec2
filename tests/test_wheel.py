"""An installed kitdocs works from any folder: its templates, words and starter travel inside the wheel."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest
from fenced import samples

import kitdocs

pytestmark = pytest.mark.whole

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    # Without --wheel, the wheel is made from the source distribution, which so holds all that it needs.
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True)
    (built,) = out.glob("*.whl")
    return built


#: Before the command: refuse to import what stands in this environment without kitdocs having asked for it.
ONLY_WHAT_IS_ASKED_FOR = """
import sys
from importlib.metadata import PackageNotFoundError, packages_distributions, requires
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

asked, more = set(), ["kitdocs"]
while more:
    name = canonicalize_name(more.pop())
    if name in asked:
        continue
    asked.add(name)
    try:
        wanted = [Requirement(line) for line in requires(name) or ()]
    except PackageNotFoundError:
        continue
    more += [r.name for r in wanted if r.marker is None or r.marker.evaluate({"extra": ""})]
modules = packages_distributions()
foreign = {m for m, of in modules.items() if not asked & {canonicalize_name(d) for d in of}}
for module in [m for m in sys.modules if m.split(".")[0] in foreign]:
    del sys.modules[module]

class Refuse:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in foreign:
            raise ModuleNotFoundError(f"kitdocs does not ask for {name}", name=name)

sys.meta_path.insert(0, Refuse())
"""


def test_the_wheel_carries_templates_example_starter_and_types(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for needed in (
        "kitdocs/py.typed",
        "kitdocs/data/example_practice/practice.yaml",
        "kitdocs/data/site_templates/words/en/card.yaml",
        "kitdocs/data/site_templates/print/binder.typ",
        "kitdocs/data/site_templates/site/card.html.j2",
        "kitdocs/starter/folder/practice.yaml",
        "kitdocs/guide/first-hour.md",
    ):
        assert needed in names
    assert not [name for name in names if name.startswith(("tests", "site_templates", "example_practice"))]


def test_both_are_of_this_version_and_the_source_has_its_tests_and_its_licence(wheel: Path) -> None:
    (source,) = wheel.parent.glob("*.tar.gz")
    stem = f"kitdocs-{kitdocs.__version__}"
    assert (wheel.name, source.name) == (f"{stem}-py3-none-any.whl", f"{stem}.tar.gz")
    with tarfile.open(source) as packed:
        names = set(packed.getnames())
    assert {f"{stem}/{name}" for name in ("tests/test_wheel.py", "LICENSE", "README.md", "DEVELOPERS.md")} <= names


def test_the_guide_installs_it_into_an_empty_environment(wheel: Path, tmp_path: Path) -> None:
    """Word for word, but with the packages that kitdocs stands on as they are here: no network is asked."""
    (commands,) = (sample.text for sample in samples("first-hour") if "install" in sample.marks)
    shutil.copy(wheel, tmp_path)
    here = sysconfig.get_paths()["purelib"]
    env = {
        **os.environ,
        "PIP_NO_DEPS": "1",
        "PIP_NO_INDEX": "1",
        "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        "PYTHONPATH": "",
    }
    script = commands.replace("python3", shlex.quote(sys.executable))
    (tmp_path / "later").mkdir()
    script += f"\ncd later\nexport PYTHONPATH={shlex.quote(here)}\nkitdocs --version\ncommand -v kitdocs\n"
    said = subprocess.run(
        ["bash", "-e", "-c", script], cwd=tmp_path, env=env, capture_output=True, text=True, check=False
    )
    assert said.returncode == 0, said.stderr
    assert said.stdout.splitlines()[-2:] == [
        f"kitdocs {kitdocs.__version__}",
        str(tmp_path / "tools" / "bin" / "kitdocs"),
    ]


def test_from_another_folder_the_installed_command_starts_a_practice_and_writes_its_handbook(
    wheel: Path, tmp_path: Path
) -> None:
    place = tmp_path / "installed"
    zipfile.ZipFile(wheel).extractall(place)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()

    def run(*arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-P", *arguments] if sys.version_info >= (3, 11) else [sys.executable, *arguments],
            cwd=elsewhere,
            env={**os.environ, "PYTHONPATH": str(place)},
            capture_output=True,
            text=True,
            check=True,
        )

    where = run("-c", "import kitdocs; print(kitdocs.__file__)").stdout
    assert Path(where.strip()).is_relative_to(place), "the checkout must not stand in for what was installed"

    def command(*arguments: str) -> None:
        run("-c", f"{ONLY_WHAT_IS_ASKED_FOR}\nfrom kitdocs.cli import main\nmain({list(arguments)!r})")

    command("start", "ours")
    command("handbook", "ours", "--to", "out")
    assert (elsewhere / "out" / "index.html").is_file()
    assert (elsewhere / "out" / "print" / "refill-cards.pdf").read_bytes().startswith(b"%PDF")
