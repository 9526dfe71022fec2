"""Every command and every sample of the guide is run as it stands, in the folder that its marker names."""

from __future__ import annotations

import configparser
import os
import re
import runpy
import shlex
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from fenced import KINDS, Fenced, exit_status, samples

from kitdocs.cli import main
from kitdocs.guide.chapters import written_names
from kitdocs.practice.reading.reader import read_practice
from kitdocs.starter import start

pytestmark = pytest.mark.whole

PAGES = [page for page in written_names() if any(samples(page))]
GIT = {"GIT_AUTHOR_NAME": "Lead", "GIT_AUTHOR_EMAIL": "lead@practice.example"}


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache of its own, so that no page makes what another made."""
    return tmp_path_factory.mktemp("kept")


class Reader:
    """Somebody who does what a page says. `here` is where they are, `said` what the last commands answered."""

    def __init__(self, tmp: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
        self.tmp = tmp
        self.here = tmp
        self.said = ""
        self.capsys = capsys
        self.monkeypatch = monkeypatch
        self.folders = 0

    def do(self, sample: Fenced) -> None:
        if {"started", "empty"} & {*sample.marks}:
            self.folders += 1
            self.here = self.tmp / str(self.folders)
            self.here.mkdir()
            if "started" in sample.marks:
                start(self.here / "our-practice")
        self.monkeypatch.chdir(self.here)
        getattr(self, sample.kind)(sample)

    def sh(self, sample: Fenced) -> None:
        self.said = ""
        if "git" in sample.marks and not shutil.which("git"):
            pytest.skip("git is not here")
        for line in sample.text.splitlines():
            command, status = exit_status(line)
            if "serve" in sample.marks:
                self.serve(shlex.split(command))
            elif command.startswith("cd "):
                self.monkeypatch.chdir(command[3:])
            elif command.startswith("kitdocs "):
                self.kitdocs(shlex.split(command)[1:], status)
            else:
                committer = {name.replace("AUTHOR", "COMMITTER"): value for name, value in GIT.items()}
                env = {**os.environ, **GIT, **committer, "HOME": str(self.tmp), "GIT_PAGER": "cat"}
                subprocess.run(shlex.split(command), env=env, check=True, capture_output=True)

    def kitdocs(self, arguments: list[str], status: int) -> None:
        with pytest.raises(SystemExit) as ended:
            main(arguments)
        answer = self.capsys.readouterr()
        self.said += answer.out
        assert int(ended.value.code or 0) == status, (arguments, answer.out, answer.err)

    def serve(self, command: list[str]) -> None:
        """Start what goes on until it is stopped, at a free port, and ask it for its first page."""
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = str(free.getsockname()[1])
        stated = [port if word == "8000" else word for word in command]
        module = ["-m", "kitdocs"] if command[0] == "kitdocs" else []
        extra = ["--port", port] if command[0] == "kitdocs" else []
        with subprocess.Popen(
            [sys.executable, *module, *stated[1:], *extra], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        ) as server:
            try:
                assert b"<title>" in _asked(f"http://127.0.0.1:{port}/index.html")
            finally:
                server.terminate()

    def out(self, sample: Fenced) -> None:
        for line in sample.text.splitlines():
            assert line in self.said, (line, self.said)

    def change(self, sample: Fenced) -> None:
        old, new = ("".join(f"{line[2:]}\n" for line in sample.text.splitlines() if line[0] == sign) for sign in "-+")
        path = self.here / sample.marks[0]
        text = path.read_text("utf-8")
        assert text.count(old) == 1, f"{path.name} does not hold {old!r} once"
        path.write_text(text.replace(old, new), "utf-8")

    def file(self, sample: Fenced) -> None:
        (self.here / sample.marks[0]).write_text(sample.text, "utf-8")

    def yaml(self, sample: Fenced) -> None:
        """Records as they stand in the guide take the place of those of a practice, or are added to them."""
        folder = self.tmp / f"records-{len(list(self.tmp.iterdir()))}"
        start(folder)
        path = folder / sample.marks[0]
        text = path.read_text("utf-8")
        for key in re.findall(r"^([\w-]+):", sample.text, re.MULTILINE):
            text = re.sub(rf"^{key}:.*\n(?:[ ].*\n|\n)*", "", text, flags=re.MULTILINE)
        path.write_text(f"{text}\n{sample.text}", "utf-8")
        assert [str(each) for each in read_practice(folder).problems if each.severity == "error"] == []

    setting = yaml

    def toml(self, sample: Fenced) -> None:
        stated = configparser.ConfigParser()
        stated.read_string(sample.text)
        assert stated['project.entry-points."kitdocs.rules"']["large-sets"] == '"house_extras.large_sets:large_sets"'

    def rule(self, sample: Fenced) -> None:
        start(self.tmp / "ruled")
        found = runpy.run_path(str(_put(self.tmp / sample.marks[0], sample.text)))["large_sets"]
        assert [problem.path for problem in found(read_practice(self.tmp / "ruled"))] == ["sets.adjustment.contents"]

    def python(self, sample: Fenced) -> None:
        """What the samples of a page define is known in the next one."""
        file = _put(self.tmp / "read.py", sample.text)
        self.known = runpy.run_path(str(file), init_globals=getattr(self, "known", {}))
        self.capsys.readouterr()


def _put(file: Path, text: str) -> Path:
    file.write_text(text, "utf-8")
    return file


def _asked(address: str) -> bytes:
    """Return the page at an address, as soon as there is one."""
    for _ in range(1200):  # a busy machine takes its time
        page = _page(address)
        if page:
            return page
        time.sleep(0.1)
    raise AssertionError(f"{address} does not answer")


def _page(address: str) -> bytes:
    try:
        with urllib.request.urlopen(address, timeout=5) as answer:
            page: bytes = answer.read()
            return page
    except OSError:
        return b""


@pytest.mark.parametrize("page", PAGES)
def test_what_a_page_says_is_done_word_for_word(
    page: str, kept: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KITDOCS_CACHE", str(kept))
    monkeypatch.setenv("COLUMNS", "100")
    reader = Reader(tmp_path, capsys, monkeypatch)
    for sample in samples(page):
        if "install" not in sample.marks:
            reader.do(sample)


def test_no_sample_is_of_a_kind_that_nothing_tries() -> None:
    assert {sample.kind for page in PAGES for sample in samples(page)} == set(KINDS)
